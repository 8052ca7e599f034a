#include "bench/shaping.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>

#include "judging/designator.h"

namespace boardlore {
namespace {

constexpr double smallest_edge_mm = 0.05;
constexpr double degree = std::numbers::pi / 180;

double rounded(double mm) { return std::round(mm * 1000) / 1000; }  // a micrometre: far below any pick

}  // namespace

std::optional<Mark> part_from_corners(BoardPoint first, BoardPoint second, BoardPoint third) {
  const double along = distance_mm(first, second);
  if (along < smallest_edge_mm) return std::nullopt;
  const double ux = (second.x_mm - first.x_mm) / along, uy = (second.y_mm - first.y_mm) / along;
  const double across = -uy * (third.x_mm - first.x_mm) + ux * (third.y_mm - first.y_mm);
  if (std::fabs(across) < smallest_edge_mm) return std::nullopt;
  Mark mark;
  mark.kind = MarkKind::part;
  mark.at = {rounded(first.x_mm + ux * along / 2 - uy * across / 2), rounded(first.y_mm + uy * along / 2 + ux * across / 2)};
  double turn_deg = std::atan2(uy, ux) / degree;
  // A rectangle looks the same after half a turn; keep the smaller turn. A hand-drawn edge within one
  // degree of an axis is meant to lie on it.
  if (turn_deg > 90) turn_deg -= 180;
  if (turn_deg <= -90) turn_deg += 180;
  const double quarter = std::round(turn_deg / 90) * 90;
  if (std::fabs(turn_deg - quarter) <= 1) turn_deg = quarter;
  mark.rotation_deg = turn_deg;
  const double x = rounded(along / 2), y = rounded(std::fabs(across) / 2);
  mark.outline = {{-x, -y}, {x, -y}, {x, y}, {-x, y}};
  return mark;
}

std::optional<Mark> keepout_from_points(const std::vector<BoardPoint>& points) {
  if (points.size() < 3) return std::nullopt;
  double left = 1e30, right = -1e30, low = 1e30, high = -1e30;
  for (const BoardPoint p : points) {
    left = std::min(left, p.x_mm), right = std::max(right, p.x_mm);
    low = std::min(low, p.y_mm), high = std::max(high, p.y_mm);
  }
  if (right - left < smallest_edge_mm || high - low < smallest_edge_mm) return std::nullopt;
  Mark mark;
  mark.kind = MarkKind::keepout;
  mark.reason = "heat";
  mark.at = {rounded((left + right) / 2), rounded((low + high) / 2)};
  for (const BoardPoint p : points) mark.outline.push_back({rounded(p.x_mm - mark.at.x_mm), rounded(p.y_mm - mark.at.y_mm)});
  return mark;
}

std::optional<Mark> keepout_from_circle(BoardPoint centre, BoardPoint on_edge) {
  const double radius = distance_mm(centre, on_edge);
  if (radius < smallest_edge_mm) return std::nullopt;
  Mark mark;
  mark.kind = MarkKind::keepout;
  mark.reason = "heat";
  mark.at = {rounded(centre.x_mm), rounded(centre.y_mm)};
  mark.radius_mm = rounded(radius);
  return mark;
}

Offset offset_of(const Mark& mark, BoardPoint point) {
  const double c = std::cos(mark.rotation_deg * degree), s = std::sin(mark.rotation_deg * degree);
  const double x = point.x_mm - mark.at.x_mm, y = point.y_mm - mark.at.y_mm;
  return {rounded(c * x + s * y), rounded(-s * x + c * y)};
}

std::string counted_on(const Layer& layer, const std::string& last) {
  if (last.empty()) return {};
  std::set<std::string> taken;
  layer.marks.each([&](const MarkPtr& mark) {
    if (!mark->refdes.empty()) taken.insert(mark->refdes);
  });
  std::string next = next_designator(last);
  while (!next.empty() && taken.contains(next)) next = next_designator(next);
  return next;
}

BoardPoint nudged(BoardPoint at, double dx, double dy, double step_mm) {
  const double length = std::hypot(dx, dy);
  if (!(length > 0) || !std::isfinite(length)) return at;
  // A photo taken nearly square on: what looks like "left" moves along the board's axis, not beside it.
  double ux = dx / length, uy = dy / length;
  constexpr double nearly = 0.966;  // within 15 degrees
  if (std::fabs(ux) > nearly) ux = ux > 0 ? 1 : -1, uy = 0;
  if (std::fabs(uy) > nearly) uy = uy > 0 ? 1 : -1, ux = 0;
  return {rounded(at.x_mm + ux * step_mm), rounded(at.y_mm + uy * step_mm)};
}

}  // namespace boardlore
