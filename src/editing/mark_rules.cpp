#include "editing/mark_rules.h"

#include <cctype>
#include <cmath>

namespace boardlore {
namespace {

bool coordinate(double value_mm) { return std::isfinite(value_mm) && std::fabs(value_mm) <= max_coordinate_mm; }

std::string upper(std::string text) {
  for (char& c : text) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return text;
}

Problem fault(const Mark& mark, const char* where, const char* expected, std::string found) {
  return Problem{"", spoken_name(mark) + " " + where, expected, std::move(found)};
}

}  // namespace

std::optional<Problem> fault_of(const Mark& mark) {
  if (!coordinate(mark.at.x_mm) || !coordinate(mark.at.y_mm))
    return fault(mark, "place", "finite millimetres within 10 m", std::to_string(mark.at.x_mm) + ", " + std::to_string(mark.at.y_mm));
  if (!std::isfinite(mark.rotation_deg)) return fault(mark, "rotation", "finite degrees", "a number that is not finite");
  if (!mark.refdes.empty() && !is_designator(mark.refdes))
    return fault(mark, "designator", "letters and a number, as in C14 or U3", "\"" + mark.refdes + "\"");
  if (mark.outline.size() > max_outline_points)
    return fault(mark, "outline", "at most 1000 corners", std::to_string(mark.outline.size()));
  if (!mark.outline.empty() && mark.outline.size() < 3)
    return fault(mark, "outline", "at least three corners", std::to_string(mark.outline.size()));
  for (const Offset& corner : mark.outline)
    if (!coordinate(corner.x_mm) || !coordinate(corner.y_mm)) return fault(mark, "outline", "finite millimetres", "a number that is not");
  if (mark.radius_mm && !(*mark.radius_mm > 0 && *mark.radius_mm <= max_coordinate_mm))
    return fault(mark, "radius", "more than 0 mm", std::to_string(*mark.radius_mm));
  if (mark.kind == MarkKind::keepout && mark.outline.empty() && !mark.radius_mm)
    return fault(mark, "shape", "a polygon or a circle", "neither");
  return std::nullopt;
}

std::vector<Id> duplicate_designators(const Layer& layer) {
  std::map<std::string, std::vector<Id>> by_name;
  layer.marks.each([&](const MarkPtr& mark) {
    if (mark->kind == MarkKind::part && !mark->refdes.empty()) by_name[upper(mark->refdes)].push_back(mark->id);
  });
  std::vector<Id> doubled;
  for (const auto& [name, ids] : by_name)
    if (ids.size() > 1) doubled.insert(doubled.end(), ids.begin(), ids.end());
  return doubled;
}

std::string spoken_name(const Mark& mark) {
  if (!mark.refdes.empty()) return mark.refdes;
  switch (mark.kind) {
    case MarkKind::part: return "part";
    case MarkKind::pin1: return "pin-1 marker";
    case MarkKind::keepout: return mark.reason.empty() ? "keep-out" : mark.reason + " keep-out";
    case MarkKind::probe: return "probe point";
    case MarkKind::note: break;
  }
  return "note";
}

}  // namespace boardlore
