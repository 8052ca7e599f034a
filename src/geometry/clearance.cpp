#include "geometry/clearance.h"

#include <algorithm>
#include <variant>

// Boost.Geometry 1.74 under g++ 12 warns of a variable in its own point-in-polygon that is always set.
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/linestring.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>

namespace boardlore {
namespace {

namespace bg = boost::geometry;
using Point = bg::model::d2::point_xy<double>;
using Line = bg::model::linestring<Point>;
using Polygon = bg::model::polygon<Point>;
using Figure = std::variant<Point, Line, Polygon>;

// A circle is its centre here; its radius is taken off afterwards.
Figure figure_of(const Shape& shape) {
  const auto& c = shape.corners;
  const auto point = [](BoardPoint p) { return Point(p.x_mm, p.y_mm); };
  if (c.size() == 1) return point(c[0]);
  Line line;
  for (const BoardPoint& corner : c) line.push_back(point(corner));
  if (c.size() == 2 || signed_area_mm2(c) == 0) return line;
  Polygon polygon;
  polygon.outer().assign(line.begin(), line.end());
  bg::correct(polygon);
  return polygon;
}

double gap_of_boxes_mm(const BoundingBox& a, const BoundingBox& b) {
  const double x = std::max({0.0, b.low.x_mm - a.high.x_mm, a.low.x_mm - b.high.x_mm});
  const double y = std::max({0.0, b.low.y_mm - a.high.y_mm, a.low.y_mm - b.high.y_mm});
  return std::hypot(x, y);
}

bool finite(const Shape& shape) {
  return std::all_of(shape.corners.begin(), shape.corners.end(),
                     [](BoardPoint p) { return std::isfinite(p.x_mm) && std::isfinite(p.y_mm); }) &&
         std::isfinite(shape.radius_mm);
}

double farthest_corner_mm(const Shape& shape, BoardPoint from) {
  double farthest = 0;
  for (const BoardPoint& corner : shape.corners) farthest = std::max(farthest, distance_mm(corner, from));
  return farthest + shape.radius_mm;
}

double place_error_of(const Mark& mark) { return mark.place_error_mm > 0 ? mark.place_error_mm : assumed_place_error_mm; }

std::string label_of(const Mark& mark) {
  if (!mark.refdes.empty()) return mark.refdes;
  if (mark.kind == MarkKind::keepout) return "keep-out" + (mark.text.empty() ? "" : " " + mark.text) +
                                             (mark.reason.empty() ? "" : " (" + mark.reason + ")");
  return mark.text.empty() ? "part without a designator" : mark.text;
}

Problem refused(std::string where, std::string expected, std::string found) {
  return {"", std::move(where), std::move(expected), std::move(found), Outcome::bad_input};
}

}  // namespace

double outline_distance_mm(const Shape& a, const Shape& b) {
  const double between = std::visit([](const auto& x, const auto& y) { return static_cast<double>(bg::distance(x, y)); },
                                    figure_of(a), figure_of(b));
  return std::max(0.0, between - a.radius_mm - b.radius_mm);
}

Result<ClearanceReport> clearances(const Layer& layer, const Id& part_id, const ClearanceQuestion& question) {
  const MarkPtr part = layer.marks.find(part_id);
  if (!part) return refused("mark", "a mark of this board", part_id.text.empty() ? "none" : part_id.text);
  const bool scaled = question.scale_known || layer.board.width_mm ||
                      std::any_of(layer.photos.begin(), layer.photos.end(), [](const Photo& p) { return p.registration.has_value(); });
  if (!scaled) return refused("board", "a size in mm, or a registered photo", "board has no scale");
  for (const double length : {question.nozzle_diameter_mm, question.within_mm})
    if (!std::isfinite(length) || length < 0 || length > 1000)
      return refused("nozzle", "0 to 1000 mm", std::to_string(length));
  const Shape own = shape_of(*part);
  if (!finite(own)) return refused("mark " + part->refdes, "a finite outline", "one that is not");

  ClearanceReport report;
  report.part = part_id;
  report.axis = centroid_of(own);
  report.heated_radius_mm = question.nozzle_diameter_mm / 2;
  report.nozzle_travels = question.nozzle_diameter_mm > 0 && farthest_corner_mm(own, report.axis) > report.heated_radius_mm;
  const auto registration_error = [&](BoardPoint at) {
    return question.registration_error_mm ? std::max(0.0, question.registration_error_mm(at)) : 0.0;
  };
  const double error_here = registration_error(part->at);
  const BoundingBox own_box = bounding_box(own);
  const Shape axis{{report.axis}, 0};
  const double reach_mm = std::max(question.within_mm, report.heated_radius_mm);

  layer.marks.each([&](const MarkPtr& mark) {
    if (mark->id == part_id || (mark->kind != MarkKind::part && mark->kind != MarkKind::keepout)) return;
    const Shape shape = shape_of(*mark);
    if (!finite(shape)) return;
    const double error = std::max(error_here, registration_error(mark->at)) + place_error_of(*part) + place_error_of(*mark);
    if (gap_of_boxes_mm(own_box, bounding_box(shape)) - error > reach_mm) return;
    Clearance c;
    c.distance_mm = outline_distance_mm(own, shape);
    c.error_mm = error;
    c.at_least_mm = std::max(0.0, c.distance_mm - error);
    c.from_axis_mm = outline_distance_mm(axis, shape);
    c.heated = question.nozzle_diameter_mm > 0 &&
               (c.from_axis_mm - error <= report.heated_radius_mm || (report.nozzle_travels && c.at_least_mm <= report.heated_radius_mm));
    if (!c.heated && c.at_least_mm > question.within_mm) return;
    c.mark = mark->id;
    c.label = label_of(*mark);
    c.kind = mark->kind;
    c.other_side = mark->side != part->side;
    c.reason = mark->reason;
    c.advice = mark->advice;
    c.max_temperature_c = mark->max_temperature_c;
    c.height_mm = mark->height_mm;
    report.found.push_back(std::move(c));
  });
  std::sort(report.found.begin(), report.found.end(), [](const Clearance& a, const Clearance& b) {
    if (a.at_least_mm != b.at_least_mm) return a.at_least_mm < b.at_least_mm;
    if (a.distance_mm != b.distance_mm) return a.distance_mm < b.distance_mm;
    return a.mark < b.mark;
  });
  return report;
}

}  // namespace boardlore

#pragma GCC diagnostic pop
