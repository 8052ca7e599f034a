#include "overlay/board_shapes.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/outline.h"
#include "geometry/pins.h"

namespace boardlore {
namespace {

constexpr double hatch_spacing_mm = 2.5;
constexpr std::size_t most_hatch_lines = 400;  // a keep-out of half a metre is still cheap

BoardBox box_of(const std::vector<BoardPoint>& points) {
  BoardBox box{1e18, 1e18, -1e18, -1e18};
  for (const BoardPoint& p : points) {
    box.left_mm = std::min(box.left_mm, p.x_mm);
    box.right_mm = std::max(box.right_mm, p.x_mm);
    box.bottom_mm = std::min(box.bottom_mm, p.y_mm);
    box.top_mm = std::max(box.top_mm, p.y_mm);
  }
  return box;
}

BoardPoint towards(BoardPoint from, BoardPoint to, double length_mm) {
  const double whole = distance_mm(from, to);
  const double t = whole > 0 ? std::min(length_mm / whole, 0.5) : 0;
  return {from.x_mm + t * (to.x_mm - from.x_mm), from.y_mm + t * (to.y_mm - from.y_mm)};
}

BoardPoint mean_of(const std::vector<BoardPoint>& points) {
  BoardPoint sum;
  for (const BoardPoint& p : points) sum.x_mm += p.x_mm, sum.y_mm += p.y_mm;
  const auto n = static_cast<double>(points.size());
  return {sum.x_mm / n, sum.y_mm / n};
}

}  // namespace

bool pin1_matters(const Mark& mark) {
  return mark.pin1 || !mark.polarity.empty() || !mark.orientation.on_part.empty() ||
         (mark.package && mark.package->family != PackageFamily::two_terminal);
}

std::vector<BoardPoint> wedge_at(const std::vector<BoardPoint>& outline, BoardPoint pin1) {
  const std::size_t n = outline.size();
  if (n < 3) return {};
  std::size_t nearest = 0;
  for (std::size_t i = 1; i < n; ++i)
    if (distance_mm(outline[i], pin1) < distance_mm(outline[nearest], pin1)) nearest = i;
  const BoardPoint corner = outline[nearest];
  const BoardBox box = box_of(outline);
  const double size_mm = 0.38 * std::min(box.right_mm - box.left_mm, box.top_mm - box.bottom_mm);
  if (n > 12) {  // a round body: the tip reaches from the edge towards the middle
    const BoardPoint middle = mean_of(outline);
    const BoardPoint tip = towards(corner, middle, size_mm);
    const double reach = distance_mm(corner, middle);
    if (!(reach > 0)) return {};
    const double ux = (corner.x_mm - middle.x_mm) / reach, uy = (corner.y_mm - middle.y_mm) / reach;
    const double half = 0.55 * size_mm;
    return {{corner.x_mm - uy * half, corner.y_mm + ux * half}, {corner.x_mm + uy * half, corner.y_mm - ux * half}, tip};
  }
  return {corner, towards(corner, outline[(nearest + 1) % n], size_mm),
          towards(corner, outline[(nearest + n - 1) % n], size_mm)};
}

std::vector<std::pair<BoardPoint, BoardPoint>> hatching_of(const std::vector<BoardPoint>& polygon,
                                                           double spacing_mm) {
  std::vector<std::pair<BoardPoint, BoardPoint>> lines;
  if (polygon.size() < 3 || !(spacing_mm > 0)) return lines;
  // Lines x - y = c, spaced so that they are `spacing_mm` apart; fixed to the board, not to the polygon.
  const double step = spacing_mm * std::sqrt(2.0);
  double low = std::numeric_limits<double>::infinity(), high = -low;
  for (const BoardPoint& p : polygon) low = std::min(low, p.x_mm - p.y_mm), high = std::max(high, p.x_mm - p.y_mm);
  if (!std::isfinite(low) || (high - low) / step > static_cast<double>(most_hatch_lines)) return lines;
  for (double c = std::ceil(low / step) * step; c <= high; c += step) {
    std::vector<BoardPoint> crossings;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
      const BoardPoint a = polygon[i], b = polygon[(i + 1) % polygon.size()];
      const double da = a.x_mm - a.y_mm - c, db = b.x_mm - b.y_mm - c;
      if ((da > 0) == (db > 0)) continue;
      const double t = da / (da - db);
      crossings.push_back({a.x_mm + t * (b.x_mm - a.x_mm), a.y_mm + t * (b.y_mm - a.y_mm)});
    }
    std::sort(crossings.begin(), crossings.end(),
              [](const BoardPoint& a, const BoardPoint& b) { return a.x_mm < b.x_mm; });
    for (std::size_t i = 0; i + 1 < crossings.size(); i += 2) lines.emplace_back(crossings[i], crossings[i + 1]);
  }
  return lines;
}

std::uint64_t fixed_order(const std::string& text) {
  std::uint64_t hash = 14695981039346656037ULL;
  for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  return hash;
}

MarkShape mark_shape_of(const MarkPtr& mark) {
  MarkShape shape;
  shape.mark = mark;
  shape.order = fixed_order(mark->id.text);
  shape.outline = outline_of(*mark);
  if (shape.outline.size() < 3) shape.outline.clear();
  if (const auto pins = pins_of(*mark))  // a package that cannot be: its outline is still drawn
    for (const Pin& pin : *pins) shape.pins.push_back({pin.name, pin.at});
  if (mark->kind == MarkKind::part && pin1_matters(*mark)) {
    shape.pin1 = pin1_of(*mark);
    if (shape.pin1) shape.pin1_wedge = wedge_at(shape.outline, *shape.pin1);
  }
  if (mark->kind == MarkKind::keepout) shape.hatching = hatching_of(shape.outline, hatch_spacing_mm);
  shape.middle = mark->at;
  if (!shape.outline.empty()) {
    const BoardBox box = box_of(shape.outline);
    shape.middle = {(box.left_mm + box.right_mm) / 2, (box.bottom_mm + box.top_mm) / 2};
    shape.extent_mm = std::max(box.right_mm - box.left_mm, box.top_mm - box.bottom_mm);
  }
  return shape;
}

BoardShapes shapes_of(const MarkTable& marks, Side side, const BoardShapes& previous) {
  BoardShapes made;
  made.shapes.reserve(marks.size());
  made.boxes.reserve(marks.size());
  std::size_t old = 0;  // both run by rising id
  marks.each([&](const MarkPtr& mark) {
    if (mark->side != side) return;
    while (old < previous.shapes.size() && previous.shapes[old]->mark->id < mark->id) ++old;
    if (old < previous.shapes.size() && previous.shapes[old]->mark == mark) {
      made.shapes.push_back(previous.shapes[old]);
      made.boxes.push_back(previous.boxes[old]);
      return;
    }
    auto shape = std::make_shared<const MarkShape>(mark_shape_of(mark));
    std::vector<BoardPoint> reach = shape->outline;
    for (const PinShape& pin : shape->pins) reach.push_back(pin.at);
    if (shape->pin1) reach.push_back(*shape->pin1);
    reach.push_back(mark->at);
    made.boxes.push_back(box_of(reach));
    made.shapes.push_back(std::move(shape));
  });
  return made;
}

}  // namespace boardlore
