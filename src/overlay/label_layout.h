// Which names fit on the picture, and where.
//
// A dense board has more names than room. Labels are laid down by priority, each on the first free place
// of a few around its mark; one that finds none is left out. No two that are drawn overlap. The layout
// looks at where labels lie relative to each other only, never at the edge of the view. A mark that comes into
// view could still push a name aside, that one the next, and so on across the screen: so what was drawn last time
// at this zoom is remembered and stays where it was. A name neither jumps nor blinks while the board is panned;
// zooming in brings the others out.
#pragma once

#include <array>
#include <functional>
#include <string>
#include <unordered_map>
#include <vector>

#include "overlay/overlay_scene.h"

namespace boardlore {

struct TextSize {
  double width = 0, height = 0;
};
using MeasureText = std::function<TextSize(const std::string&)>;

struct PlacedLabel {
  std::size_t label_index = 0;  // into the labels given
  ScreenPoint top_left;         // of the text's box
  TextSize size;
};

// Screen pixels between two labels' boxes. Common practice, no source.
constexpr double label_gap_px = 3;

// What was placed in the last frame of a pane: which of the places around its mark each name took.
struct LabelMemory {
  std::array<double, 4> zoom_and_turn{};  // another one: nothing is remembered
  std::unordered_map<const void*, std::size_t> place_of;  // by mark
};

// Sorted as drawn. Names of `memory` come after the chosen ones and before all others, and are replaced by what is placed
// now. Labels with higher priority win; equal ones by their text's order in `labels`.
std::vector<PlacedLabel> place_labels(const std::vector<Label>& labels, const ScreenFromPhoto& screen_from_photo,
                                      const MeasureText& measure, LabelMemory* memory = nullptr);

}  // namespace boardlore
