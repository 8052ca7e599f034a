#include "geometry/outline.h"

#include <algorithm>
#include <numbers>

#include "geometry/pins.h"

namespace boardlore {
namespace {

// Body and pins of a package at 0 degrees, half sizes about the centre. Symmetric, so the side does not matter.
Offset half_size(const Package& package) {
  Offset half{0.5 * std::max(package.body_length_mm, 0.0), 0.5 * std::max(package.body_width_mm, 0.0)};
  if (const auto pattern = pin_pattern(package))
    for (const PatternPin& pin : *pattern) {
      half.x_mm = std::max(half.x_mm, std::fabs(pin.at.x_mm));
      half.y_mm = std::max(half.y_mm, std::fabs(pin.at.y_mm));
    }
  return half;
}

double distance_to_segment_mm(BoardPoint p, BoardPoint a, BoardPoint b) {
  const double dx = b.x_mm - a.x_mm, dy = b.y_mm - a.y_mm, length2 = dx * dx + dy * dy;
  const double along = length2 > 0 ? std::clamp(((p.x_mm - a.x_mm) * dx + (p.y_mm - a.y_mm) * dy) / length2, 0.0, 1.0) : 0;
  return distance_mm(p, {a.x_mm + along * dx, a.y_mm + along * dy});
}

}  // namespace

BoardPoint placed(const Mark& mark, Offset offset) {
  // Quarter turns are by far the most common; their sines are made exact so that outlines stay on round numbers.
  const double turns = mark.rotation_deg / 90;
  double c = 0, s = 0;
  if (turns == std::floor(turns) && std::fabs(turns) < 1e9) {
    constexpr std::array<double, 4> cosines{1, 0, -1, 0};
    const auto quarter = static_cast<std::size_t>(((static_cast<long long>(turns) % 4) + 4) % 4);
    c = cosines[quarter], s = cosines[(quarter + 3) % 4];
  } else {
    const double angle_rad = mark.rotation_deg * std::numbers::pi / 180;
    c = std::cos(angle_rad), s = std::sin(angle_rad);
  }
  return {mark.at.x_mm + c * offset.x_mm - s * offset.y_mm, mark.at.y_mm + s * offset.x_mm + c * offset.y_mm};
}

Shape shape_of(const Mark& mark) {
  if (!mark.outline.empty()) {
    Shape shape;
    for (const Offset& corner : mark.outline) shape.corners.push_back(placed(mark, corner));
    return shape;
  }
  if (mark.radius_mm) return {{mark.at}, std::max(*mark.radius_mm, 0.0)};
  if (mark.package) {
    const Offset half = half_size(*mark.package);
    if (half.x_mm > 0 && half.y_mm > 0)
      return {{placed(mark, {-half.x_mm, -half.y_mm}), placed(mark, {half.x_mm, -half.y_mm}),
               placed(mark, {half.x_mm, half.y_mm}), placed(mark, {-half.x_mm, half.y_mm})}, 0};
    if (half.x_mm > 0 || half.y_mm > 0)
      return {{placed(mark, {-half.x_mm, -half.y_mm}), placed(mark, {half.x_mm, half.y_mm})}, 0};
  }
  return {{mark.at}, 0};
}

std::vector<BoardPoint> outline_of(const Mark& mark, int circle_corners) {
  const Shape shape = shape_of(mark);
  if (shape.corners.size() != 1 || shape.radius_mm <= 0) return shape.corners;
  std::vector<BoardPoint> polygon;
  for (int k = 0; k < circle_corners; ++k) {
    const double angle_rad = 2 * std::numbers::pi * k / circle_corners;
    polygon.push_back({mark.at.x_mm + shape.radius_mm * std::cos(angle_rad), mark.at.y_mm + shape.radius_mm * std::sin(angle_rad)});
  }
  return polygon;
}

bool contains(const Shape& shape, BoardPoint point) {
  const auto& c = shape.corners;
  if (c.empty()) return false;
  if (c.size() == 1) return distance_mm(c[0], point) <= shape.radius_mm;
  bool inside = false;
  for (std::size_t i = 0, j = c.size() - 1; i < c.size(); j = i++) {
    if (distance_to_segment_mm(point, c[i], c[j]) <= 1e-12 * (1 + std::fabs(point.x_mm) + std::fabs(point.y_mm))) return true;
    if ((c[i].y_mm > point.y_mm) != (c[j].y_mm > point.y_mm) &&
        point.x_mm < (c[j].x_mm - c[i].x_mm) * (point.y_mm - c[i].y_mm) / (c[j].y_mm - c[i].y_mm) + c[i].x_mm)
      inside = !inside;
  }
  return inside;
}

double signed_area_mm2(const std::vector<BoardPoint>& polygon) {
  double twice = 0;
  for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++)
    twice += polygon[j].x_mm * polygon[i].y_mm - polygon[i].x_mm * polygon[j].y_mm;
  return 0.5 * twice;
}

double area_mm2(const Shape& shape) {
  return shape.corners.size() == 1 ? std::numbers::pi * shape.radius_mm * shape.radius_mm
                                   : std::fabs(signed_area_mm2(shape.corners));
}

BoundingBox bounding_box(const Shape& shape) {
  BoundingBox box{{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};
  for (const BoardPoint& corner : shape.corners) {
    box.low = {std::min(box.low.x_mm, corner.x_mm - shape.radius_mm), std::min(box.low.y_mm, corner.y_mm - shape.radius_mm)};
    box.high = {std::max(box.high.x_mm, corner.x_mm + shape.radius_mm), std::max(box.high.y_mm, corner.y_mm + shape.radius_mm)};
  }
  return box;
}

BoardPoint centroid_of(const Shape& shape) {
  const auto& c = shape.corners;
  BoardPoint mean;
  for (const BoardPoint& corner : c)
    mean = {mean.x_mm + corner.x_mm / static_cast<double>(c.size()), mean.y_mm + corner.y_mm / static_cast<double>(c.size())};
  const double area = signed_area_mm2(c);
  if (c.size() < 3 || area == 0) return mean;
  double x = 0, y = 0;
  for (std::size_t i = 0, j = c.size() - 1; i < c.size(); j = i++) {
    // About the mean: a small part far from the origin keeps its digits.
    const double ax = c[j].x_mm - mean.x_mm, ay = c[j].y_mm - mean.y_mm, bx = c[i].x_mm - mean.x_mm, by = c[i].y_mm - mean.y_mm;
    const double cross = ax * by - bx * ay;
    x += (ax + bx) * cross, y += (ay + by) * cross;
  }
  return {mean.x_mm + x / (6 * area), mean.y_mm + y / (6 * area)};
}

}  // namespace boardlore
