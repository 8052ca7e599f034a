#include "overlay/label_layout.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <unordered_map>

namespace boardlore {
namespace {

struct Box {
  double left, top, right, bottom;
};

// What is taken so far, as a bit for each field of 2 x 2 screen pixels: a question reads a dozen words, however
// many labels lie around. A field that a box only touches counts as taken, so two boxes never overlap. Fields are
// kept in square tiles that are made where they are needed.
class Occupancy {
 public:
  bool is_free(const Box& box) {
    return each_row(box, false, [](std::uint64_t& row, std::uint64_t bits) { return (row & bits) == 0; });
  }
  void take(const Box& box) {
    each_row(box, true, [](std::uint64_t& row, std::uint64_t bits) { return row |= bits, true; });
  }

 private:
  static constexpr double field_px = 2;
  static constexpr std::int64_t tile_fields = 64;
  using Tile = std::array<std::uint64_t, tile_fields>;

  static std::int64_t field_of(double at) { return static_cast<std::int64_t>(std::floor(at / field_px)); }
  static std::int64_t tile_of(std::int64_t field) { return field >> 6; }

  // nullptr: nothing is taken there.
  Tile* tile(std::int64_t x, std::int64_t y, bool make) {
    const std::int64_t key = x * 0x10000000 + y;
    if (key == last_key_ && (last_ || !make)) return last_;
    last_key_ = key;
    const auto found = make ? tiles_.try_emplace(key).first : tiles_.find(key);
    return last_ = found == tiles_.end() ? nullptr : &found->second;
  }
  // visit(row, bits) for every row of every tile under the box until it says no.
  template <class Visit>
  bool each_row(const Box& box, bool make, Visit visit) {
    const std::int64_t left = field_of(box.left), right = field_of(box.right), top = field_of(box.top), bottom = field_of(box.bottom);
    for (std::int64_t tile_x = tile_of(left); tile_x <= tile_of(right); ++tile_x) {
      const std::int64_t from = std::max(left, tile_x * tile_fields) - tile_x * tile_fields;
      const std::int64_t to = std::min(right, tile_x * tile_fields + tile_fields - 1) - tile_x * tile_fields;
      const std::uint64_t bits = (~std::uint64_t{0} >> (tile_fields - 1 - (to - from))) << from;
      for (std::int64_t tile_y = tile_of(top); tile_y <= tile_of(bottom); ++tile_y) {
        Tile* rows = tile(tile_x, tile_y, make);
        if (!rows) continue;
        const std::int64_t last = std::min(bottom, tile_y * tile_fields + tile_fields - 1);
        for (std::int64_t y = std::max(top, tile_y * tile_fields); y <= last; ++y)
          if (!visit((*rows)[static_cast<std::size_t>(y - tile_y * tile_fields)], bits)) return false;
      }
    }
    return true;
  }
  std::unordered_map<std::int64_t, Tile> tiles_;  // a tile stays where it is while others are made
  std::int64_t last_key_ = std::numeric_limits<std::int64_t>::min();
  Tile* last_ = nullptr;
};

}  // namespace

std::vector<PlacedLabel> place_labels(const std::vector<Label>& labels, const ScreenFromPhoto& screen_from_photo,
                                      const MeasureText& measure, LabelMemory* memory) {
  const std::array<double, 4> zoom_and_turn{screen_from_photo.xx, screen_from_photo.xy, screen_from_photo.yx, screen_from_photo.yy};
  if (memory && memory->zoom_and_turn != zoom_and_turn) memory->place_of.clear(), memory->zoom_and_turn = zoom_and_turn;
  // Chosen, under the cursor or nearest to it; then what stood here already; then the rest.
  constexpr std::uint64_t chosen_from = std::uint64_t{5} << 60;
  constexpr std::uint8_t not_placed = 99;
  struct Turn {
    std::uint64_t priority = 0;
    std::uint32_t index = 0, standing = 0;
  };
  const auto comes_first = [](const Turn& a, const Turn& b) {
    if (a.standing != b.standing) return a.standing > b.standing;
    return a.priority != b.priority ? a.priority > b.priority : a.index < b.index;
  };
  std::vector<Turn> settled, rest;  // chosen or standing; all others
  std::vector<std::uint8_t> stood(labels.size(), not_placed);
  const bool any_stood = memory && !memory->place_of.empty();
  rest.reserve(labels.size());
  for (std::size_t i = 0; i < labels.size(); ++i) {
    if (any_stood && labels[i].mark)
      if (const auto place = memory->place_of.find(labels[i].mark.get()); place != memory->place_of.end()) stood[i] = static_cast<std::uint8_t>(place->second);
    const std::uint32_t standing = labels[i].priority >= chosen_from ? 2 : stood[i] != not_placed ? 1 : 0;
    (standing > 0 ? settled : rest).push_back({labels[i].priority, static_cast<std::uint32_t>(i), standing});
  }
  if (memory) memory->place_of.clear();

  // Without the shift: the same boxes wherever the view stands.
  ScreenFromPhoto unshifted = screen_from_photo;
  unshifted.x0 = unshifted.y0 = 0;
  const double zoom = screen_from_photo.zoom();
  Occupancy taken;
  std::vector<PlacedLabel> placed;
  // False: no place is free. `look_only`: nothing is taken.
  const auto place_one = [&](std::size_t index, bool look_only) {
    const Label& label = labels[index];
    if (label.text.empty()) return false;
    const ScreenPoint at = unshifted(label.anchor);
    if (!(std::fabs(at.x) < 1e6 && std::fabs(at.y) < 1e6)) return false;
    const TextSize size = measure(label.text);
    const double w = size.width, h = size.height;
    // Half the mark's extent on the screen, and a little air.
    const double away = label.extent_px * zoom / 2 + label_gap_px + 1;
    const bool fits_inside = label.extent_px * zoom > 2.2 * std::max(w, h);
    const ScreenPoint places[] = {{at.x - w / 2, at.y - h / 2},  // in the middle, where there is room
                                  {at.x - w / 2, at.y - away - h},
                                  {at.x - w / 2, at.y + away},
                                  {at.x + away, at.y - h / 2},
                                  {at.x - away - w, at.y - h / 2}};
    // Where it stood comes first.
    std::size_t tried[1 + std::size(places)], count = 0;
    if (stood[index] < std::size(places)) tried[count++] = stood[index];
    for (std::size_t place = fits_inside ? 0 : 1; place < std::size(places); ++place) tried[count++] = place;
    for (std::size_t n = 0; n < count; ++n) {
      const std::size_t place = tried[n];
      const ScreenPoint corner = places[place];
      const Box box{corner.x - label_gap_px / 2, corner.y - label_gap_px / 2, corner.x + w + label_gap_px / 2,
                    corner.y + h + label_gap_px / 2};
      if (!taken.is_free(box)) continue;
      if (look_only) return true;
      taken.take(box);
      if (memory && label.mark) memory->place_of[label.mark.get()] = place;
      placed.push_back({index, {corner.x + screen_from_photo.x0, corner.y + screen_from_photo.y0}, size});
      return true;
    }
    return false;
  };
  std::sort(settled.begin(), settled.end(), comes_first);
  for (const Turn& turn : settled) place_one(turn.index, false);
  // What finds no place beside those that stand never will: places are only taken. On a dense board that is panned
  // this is nearly all, and they need no sorting.
  if (!settled.empty()) std::erase_if(rest, [&](const Turn& turn) { return !place_one(turn.index, true); });
  std::sort(rest.begin(), rest.end(), comes_first);
  for (const Turn& turn : rest) place_one(turn.index, false);
  std::reverse(placed.begin(), placed.end());  // the most important one is drawn last, on top
  return placed;
}

}  // namespace boardlore
