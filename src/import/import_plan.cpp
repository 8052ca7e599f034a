#include "import/import_plan.h"

#include <algorithm>
#include <cmath>
#include <unordered_map>

#include "editing/mark_rules.h"

namespace boardlore {
namespace {

// A tenth of a micrometre: what is left of a place that went through text and a tie and came back.
constexpr double same_place_mm = 1e-4;
constexpr double same_turn_deg = 1e-3;

std::string upper(std::string_view text) {
  std::string out(text);
  for (char& c : out) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return out;
}

// Designator -> the one mark that has it; nullptr where several do.
std::unordered_map<std::string, MarkPtr> marks_by_name(const Layer& layer) {
  std::unordered_map<std::string, MarkPtr> marks;
  layer.marks.each([&](const MarkPtr& mark) {
    if (mark->refdes.empty() || (mark->kind != MarkKind::part && mark->kind != MarkKind::probe)) return;
    const auto [entry, is_new] = marks.emplace(upper(mark->refdes), mark);
    if (!is_new) entry->second = nullptr;
  });
  return marks;
}

// nullopt: no such mark. A null pointer inside: on the board twice.
std::optional<MarkPtr> mark_named(const std::unordered_map<std::string, MarkPtr>& marks, std::string_view refdes) {
  const auto entry = marks.find(upper(refdes));
  if (entry == marks.end()) return std::nullopt;
  return entry->second;
}

double turn_between(double a_deg, double b_deg) { return std::fabs(std::remainder(a_deg - b_deg, 360.0)); }

// What a mirrored frame shows as the top is the board's bottom only if the list says sides as drawn; lists
// name the true side, so sides are kept as they are.
void move_to(Mark& mark, BoardPoint at) {
  if (distance_mm(mark.at, at) > same_place_mm) mark.at = at;
}

// A fitted tie's last digits are noise; a tenth of a micrometre is finer than any list is written.
std::optional<BoardPoint> place_on_board(const FrameTie& tie, ImportPoint at) {
  auto place = tie.board_from_import(at);
  constexpr double per_mm = 10'000;
  if (place && tie.board_from_import.rows != same_frame().board_from_import.rows)
    place = BoardPoint{std::round(place->x_mm * per_mm) / per_mm, std::round(place->y_mm * per_mm) / per_mm};
  return place;
}

class Planner {
 public:
  Planner(const NewId& new_id, Timestamp now) : new_id_(new_id), now_(now) {}

  void add(Mark mark, int line) {
    mark.id = new_id_();
    mark.changed_at = now_;
    if (const auto problem = fault_of(mark)) return refuse(line, to_text(*problem));
    plan.added.push_back(spoken_name(mark));
    plan.edits.emplace_back(PlaceMark{std::move(mark)});
  }
  void change(const Mark& before, Mark after, int line) {
    if (after == before) {
      ++plan.unchanged;
      return;
    }
    after.changed_at = now_;
    if (const auto problem = fault_of(after)) return refuse(line, to_text(*problem));
    plan.changed.push_back(spoken_name(after));
    plan.edits.emplace_back(ChangeMark{std::move(after), ""});
  }
  void refuse(int line, std::string reason) { plan.refused.push_back({line, std::move(reason)}); }

  ImportPlan plan;

 private:
  const NewId& new_id_;
  Timestamp now_;
};

const char* const twice = " is on the board more than once; which is meant is not known";

// The list of a probe mark's only pin.
constexpr const char* only_pin = "1";

bool is_test_point(std::string_view refdes, std::size_t points) {
  return points == 1 && refdes.size() > 2 && upper(refdes.substr(0, 2)) == "TP" && std::isdigit(static_cast<unsigned char>(refdes[2]));
}

// The points' bounding box about the middle, each point with its own size where that is known.
std::vector<Offset> box_around(const NetlistPart& part, const FrameTie& tie, BoardPoint middle) {
  double left = 0, right = 0, low = 0, high = 0;
  for (const NetlistPoint* point : part.points) {
    const auto at = tie.board_from_import(point->at);
    if (!at) return {};
    const double half = 0.5 * std::max(point->width_mm.value_or(0), point->height_mm.value_or(0)) * tie.scale;
    left = std::min(left, at->x_mm - middle.x_mm - half), right = std::max(right, at->x_mm - middle.x_mm + half);
    low = std::min(low, at->y_mm - middle.y_mm - half), high = std::max(high, at->y_mm - middle.y_mm + half);
  }
  if (!(right - left > 0.1) || !(high - low > 0.1)) return {};
  return {{left, low}, {right, low}, {right, high}, {left, high}};
}

}  // namespace

std::vector<NetlistPart> parts_of(const Netlist& netlist) {
  std::vector<NetlistPart> parts;
  std::unordered_map<std::string, std::size_t> by_name;
  for (const NetlistPoint& point : netlist.points) {
    if (point.is_via || point.refdes.empty()) continue;
    const auto [entry, is_new] = by_name.emplace(point.refdes, parts.size());
    if (is_new) parts.push_back({point.refdes, point.line, {}, {}});
    parts[entry->second].points.push_back(&point);
  }
  for (NetlistPart& part : parts) {
    const auto count = static_cast<double>(part.points.size());
    for (const NetlistPoint* point : part.points) part.middle.x_mm += point->at.x_mm / count, part.middle.y_mm += point->at.y_mm / count;
  }
  return parts;
}

std::vector<TiePoint> common_places(const Layer& layer, const PlacementTable& table) {
  const auto marks = marks_by_name(layer);
  std::vector<TiePoint> common;
  for (const PlacementRow& row : table.rows)
    if (const auto mark = mark_named(marks, row.refdes); mark && *mark) common.push_back({row.refdes, row.at, (*mark)->at});
  return common;
}

std::vector<TiePoint> common_places(const Layer& layer, const std::vector<NetlistPart>& parts) {
  const auto marks = marks_by_name(layer);
  std::vector<TiePoint> common;
  for (const NetlistPart& part : parts)
    if (const auto mark = mark_named(marks, part.refdes); mark && *mark) common.push_back({part.refdes, part.middle, (*mark)->at});
  return common;
}

ImportPlan plan_placement(const Layer& layer, const PlacementTable& table, const FrameTie& tie, const NewId& new_id, Timestamp now) {
  const auto marks = marks_by_name(layer);
  Planner planner(new_id, now);
  for (const PlacementRow& row : table.rows) {
    const auto at = place_on_board(tie, row.at);
    const auto before = mark_named(marks, row.refdes);
    if (!at) {
      planner.refuse(row.line, row.refdes + " has no place on the board");
      continue;
    }
    if (before && !*before) {
      planner.refuse(row.line, row.refdes + twice);
      continue;
    }
    Mark mark = before ? **before : Mark{};
    if (!before) {
      mark.kind = is_test_point(row.refdes, 1) ? MarkKind::probe : MarkKind::part;
      mark.refdes = row.refdes;
      mark.at = *at;
      if (!row.package.empty()) {
        mark.package = Package{};
        mark.package->name = shortened(row.package, 80);
        mark.package->source = "placement table";
      }
    }
    move_to(mark, *at);
    mark.side = row.side;
    if (row.rotation_deg) {
      const double turned = board_rotation_deg(tie, *row.rotation_deg);
      if (!before || turn_between(turned, mark.rotation_deg) > same_turn_deg) mark.rotation_deg = turned;
    }
    if (!row.value.empty()) mark.value = shortened(row.value, 200);
    before ? planner.change(**before, std::move(mark), row.line) : planner.add(std::move(mark), row.line);
  }
  return std::move(planner.plan);
}

ImportPlan plan_netlist(const Layer& layer, const Netlist& netlist, const FrameTie& tie, const NewId& new_id, Timestamp now) {
  const auto marks = marks_by_name(layer);
  Planner planner(new_id, now);
  std::size_t vias = 0;
  for (const NetlistPoint& point : netlist.points)
    if (point.is_via || point.refdes.empty()) ++vias;
  if (vias > 0) planner.plan.remarks.push_back(std::to_string(vias) + " vias and unnamed points are not placed as marks");
  for (const NetlistPart& part : parts_of(netlist)) {
    const auto middle = place_on_board(tie, part.middle);
    const auto before = mark_named(marks, part.refdes);
    if (before && !*before) {
      planner.refuse(part.line, part.refdes + twice);
      continue;
    }
    if (!middle || (!before && !is_designator(part.refdes))) {
      planner.refuse(part.line, "\"" + shortened(part.refdes) + "\" is not a designator (letters and a number, as in C14)");
      continue;
    }
    Mark mark = before ? **before : Mark{};
    if (!before) {
      mark.refdes = part.refdes;
      mark.at = *middle;
      mark.kind = is_test_point(part.refdes, part.points.size()) ? MarkKind::probe : MarkKind::part;
      if (mark.kind == MarkKind::part) mark.outline = box_around(part, tie, *middle);
      for (const NetlistPoint* point : part.points)
        if (const auto side = side_of(*point, netlist)) mark.side = *side;
    }
    // The part's own place is better than the middle of its pads: a netlist never moves one.
    for (const NetlistPoint* point : part.points) {
      const std::string pin = point->pin.empty() ? only_pin : point->pin;
      if (!point->net.empty()) mark.nets[pin] = point->net;
    }
    before ? planner.change(**before, std::move(mark), part.line) : planner.add(std::move(mark), part.line);
  }
  return std::move(planner.plan);
}

ImportPlan plan_points(const Layer& layer, const PointTable& table, const FrameTie& tie, const NewId& new_id, Timestamp now) {
  const auto marks = marks_by_name(layer);
  std::unordered_multimap<std::string, MarkPtr> unnamed;
  layer.marks.each([&](const MarkPtr& mark) {
    if (mark->refdes.empty()) unnamed.emplace(mark->text, mark);
  });
  Planner planner(new_id, now);
  for (const PointRow& row : table.rows) {
    const auto at = place_on_board(tie, row.at);
    if (!at) {
      planner.refuse(row.line, "has no place on the board");
      continue;
    }
    MarkPtr before;
    if (const auto id = parse_id(row.id)) before = layer.marks.find(*id);
    if (!before && !row.refdes.empty())
      if (const auto named = mark_named(marks, row.refdes)) {
        before = *named;
        if (!before) {
          planner.refuse(row.line, row.refdes + twice);
          continue;
        }
      }
    // Without a name or id: the same words at the same place are the same mark, so that a second import adds nothing.
    if (!before && row.refdes.empty() && row.id.empty()) {
      const auto [first, last] = unnamed.equal_range(row.text);
      for (auto it = first; it != last && !before; ++it)
        if (it->second->kind == row.kind && it->second->side == row.side && distance_mm(it->second->at, *at) <= same_place_mm) before = it->second;
    }
    Mark mark = before ? *before : Mark{};
    if (!before) {
      mark.kind = row.kind;
      mark.refdes = row.refdes;
      mark.at = *at;
    }
    move_to(mark, *at);
    mark.side = row.side;
    if (row.rotation_deg) {
      const double turned = board_rotation_deg(tie, *row.rotation_deg);
      if (turn_between(turned, mark.rotation_deg) > same_turn_deg) mark.rotation_deg = turned;
    }
    if (row.radius_mm) mark.radius_mm = row.radius_mm;
    if (!row.value.empty()) mark.value = row.value;
    if (!row.reason.empty()) mark.reason = row.reason;
    if (!row.text.empty()) mark.text = row.text;
    before ? planner.change(*before, std::move(mark), row.line) : planner.add(std::move(mark), row.line);
  }
  return std::move(planner.plan);
}

}  // namespace boardlore
