// A pane with a photo in it: the photo, the overlay, and looking around. What is done with the cursor in it
// is the tools' business (placing.h, fiducials_view.h); they get a PaneLook.
#pragma once

#include "bench/scene.h"
#include "overlay/overlay_scene.h"

namespace boardlore {

// Where a pane is and what the cursor is on, for one frame.
struct PaneLook {
  int index = 0;
  ImVec2 min, max;
  ScreenFromPhoto screen_from_photo;
  const DeskPhoto* photo = nullptr;        // nullptr: an empty pane
  const PhotoMap* map = nullptr;           // nullptr: not registered
  int width_px = 0, height_px = 0;         // of the photo; 0: not known yet
  bool hovered = false;
  PhotoPoint cursor;
  std::optional<BoardPoint> cursor_board;
  MarkPtr mark_under;
  ImDrawList* list = nullptr;

  ImVec2 middle() const { return ImVec2((min.x + max.x) / 2, (min.y + max.y) / 2); }
  ImVec2 to_screen(PhotoPoint p) const {
    const ScreenPoint s = screen_from_photo(p);
    return ImVec2(static_cast<float>(s.x), static_cast<float>(s.y));
  }
  std::optional<ImVec2> to_screen(BoardPoint p) const {
    if (!map) return std::nullopt;
    const auto photo_point = map->photo_from(p);
    return photo_point ? std::optional(to_screen(*photo_point)) : std::nullopt;
  }
};

// Draws pane `index` in the rectangle and handles wheel, panning and turning.
PaneLook draw_pane(const Scene& scene, BenchState& state, int index, ImVec2 min, ImVec2 max);
// Drawn over the pane after the tools: loupe, scale bar, the linked cursor.
void draw_pane_top(const Scene& scene, BenchState& state, const PaneLook& look, bool placing);
// What the overlay shows now.
OverlayOptions overlay_options(const Scene& scene, const BenchState& state, const PaneLook& look);

// Puts the photo into the pane; keeps the place on the board that was looked at where both are registered.
void show_photo(const Scene& scene, BenchState& state, int pane, const Id& photo);
// The photo that shows a mark best: the pane's own if it is of that side, else the first of that side with
// a registration; empty: none.
Id photo_for_side(const DeskView& desk, const Id& current, Side side);
// Brings a board point into the middle of the pane, closer if it was small.
void look_at(PaneState& pane, const PhotoMap& map, BoardPoint at, double extent_mm, ImVec2 pane_size);

}  // namespace boardlore
