#include "overlay/label_layout.h"

#include <algorithm>
#include <cstdint>
#include <unordered_map>

namespace boardlore {
namespace {

struct Box {
  double left, top, right, bottom;
};

bool overlap(const Box& a, const Box& b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

// Boxes taken so far, by cells of a coarse grid: a question touches its own few cells only.
class Occupancy {
 public:
  bool is_free(const Box& box) const {
    bool free = true;
    each_cell(box, [&](std::int64_t key) {
      const auto cell = cells_.find(key);
      if (cell == cells_.end()) return;
      for (const std::size_t index : cell->second) free = free && !overlap(boxes_[index], box);
    });
    return free;
  }
  void take(const Box& box) {
    boxes_.push_back(box);
    each_cell(box, [&](std::int64_t key) { cells_[key].push_back(boxes_.size() - 1); });
  }

 private:
  static constexpr double cell_px = 96;
  template <class Visit>
  static void each_cell(const Box& box, Visit visit) {
    const auto cell = [](double at) { return static_cast<std::int64_t>(std::floor(at / cell_px)); };
    for (std::int64_t y = cell(box.top); y <= cell(box.bottom); ++y)
      for (std::int64_t x = cell(box.left); x <= cell(box.right); ++x) visit(x * 0x10000000 + y);
  }
  std::vector<Box> boxes_;
  std::unordered_map<std::int64_t, std::vector<std::size_t>> cells_;
};

}  // namespace

std::vector<PlacedLabel> place_labels(const std::vector<Label>& labels, const ScreenFromPhoto& screen_from_photo,
                                      const MeasureText& measure, LabelMemory* memory) {
  const std::array<double, 4> zoom_and_turn{screen_from_photo.xx, screen_from_photo.xy, screen_from_photo.yx, screen_from_photo.yy};
  if (memory && memory->zoom_and_turn != zoom_and_turn) memory->place_of.clear(), memory->zoom_and_turn = zoom_and_turn;
  // Chosen, under the cursor or nearest to it; then what stood here already; then the rest.
  constexpr std::uint64_t chosen_from = std::uint64_t{5} << 60;
  constexpr std::size_t not_placed = 99;
  std::vector<std::size_t> order(labels.size()), stood(labels.size(), not_placed);
  for (std::size_t i = 0; i < order.size(); ++i) {
    order[i] = i;
    if (!memory || !labels[i].mark) continue;
    if (const auto place = memory->place_of.find(labels[i].mark.get()); place != memory->place_of.end()) stood[i] = place->second;
  }
  const auto standing = [&](std::size_t i) { return labels[i].priority >= chosen_from ? 2 : stood[i] != not_placed ? 1 : 0; };
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    const int x = standing(a), y = standing(b);
    return x != y ? x > y : labels[a].priority > labels[b].priority;
  });
  if (memory) memory->place_of.clear();

  // Without the shift: the same boxes wherever the view stands.
  ScreenFromPhoto unshifted = screen_from_photo;
  unshifted.x0 = unshifted.y0 = 0;
  const double zoom = screen_from_photo.zoom();
  Occupancy taken;
  std::vector<PlacedLabel> placed;
  for (const std::size_t index : order) {
    const Label& label = labels[index];
    if (label.text.empty()) continue;
    const ScreenPoint at = unshifted(label.anchor);
    if (!(std::fabs(at.x) < 1e6 && std::fabs(at.y) < 1e6)) continue;
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
      taken.take(box);
      if (memory && label.mark) memory->place_of[label.mark.get()] = place;
      placed.push_back({index, {corner.x + screen_from_photo.x0, corner.y + screen_from_photo.y0}, size});
      break;
    }
  }
  std::reverse(placed.begin(), placed.end());  // the most important one is drawn last, on top
  return placed;
}

}  // namespace boardlore
