#include "import/read_list.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace boardlore {
namespace {

Result<PlacementOptions> overrides(const ListOptions& options) {
  PlacementOptions taken;
  if (!options.units.empty()) taken.unit = parse_length_unit(options.units);
  if (options.decimal == "comma") taken.decimal = DecimalSign::comma;
  if (options.decimal == "point") taken.decimal = DecimalSign::point;
  if (!options.side.empty()) taken.side = parse_side(options.side);
  for (std::size_t at = 0; !options.columns.empty() && at <= options.columns.size();) {
    const std::size_t end = std::min(options.columns.find(',', at), options.columns.size());
    taken.columns.push_back(options.columns.substr(at, end - at));
    at = end + 1;
  }
  return taken;
}

std::optional<ImportPoint> place_in_list(const Understood& list, std::string_view refdes) {
  for (const PlacementRow& row : list.placement.rows)
    if (row.refdes == refdes) return row.at;
  for (const NetlistPart& part : parts_of(list.netlist))
    if (part.refdes == refdes) return part.middle;
  for (const PointRow& row : list.points.rows)
    if (row.refdes == refdes) return row.at;
  return std::nullopt;
}

// "R1=12.5,30": where a part of the list lies on the board, in mm.
Result<TiePoint> tie_from(const std::string& text, const Understood& list) {
  const std::size_t equals = text.find('='), comma = text.find(',', equals == std::string::npos ? 0 : equals);
  const auto wrong = [&](std::string found) { return Problem{"", "--tie", "DESIGNATOR=x,y in mm on the board", std::move(found)}; };
  if (equals == std::string::npos || comma == std::string::npos) return wrong("\"" + text + "\"");
  const auto x = parse_table_number(text.substr(equals + 1, comma - equals - 1), DecimalSign::point);
  const auto y = parse_table_number(text.substr(comma + 1), DecimalSign::point);
  if (!x || !y) return wrong("\"" + text + "\"");
  const std::string refdes = text.substr(0, equals);
  const auto import = place_in_list(list, refdes);
  if (!import) return wrong(refdes + ", which the list does not name");
  return TiePoint{refdes, *import, {x->value * mm_per(x->unit.value_or(LengthUnit::mm)), y->value * mm_per(y->unit.value_or(LengthUnit::mm))}};
}

std::string fixed(double value, int decimals) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return text;
}

}  // namespace

Result<Understood> understand_list(std::string_view bytes, const ListOptions& options, const Layer& layer) {
  Result<PlacementOptions> taken = overrides(options);
  if (!taken) return taken.problem();
  Understood list;
  list.kind = options.kind;
  if (list.kind == "auto") list.kind = looks_like_netlist(bytes) ? "netlist" : "placement";
  if (list.kind == "netlist") {
    std::optional<NetlistUnit> unit;
    if (options.units == "mm") unit = NetlistUnit::mm_degrees;
    if (options.units == "inch" || options.units == "mil") unit = NetlistUnit::inch_degrees;
    Result<Netlist> netlist = read_netlist(bytes, options.file, unit);
    if (!netlist) return netlist.problem();
    list.netlist = std::move(*netlist);
    list.rows = list.netlist.points.size(), list.refused_count = list.netlist.refused_count;
    list.refused = list.netlist.refused, list.remarks = list.netlist.remarks;
    list.common = common_places(layer, parts_of(list.netlist));
  } else if (list.kind == "points") {
    Result<PointTable> points = read_points(bytes, options.file, *taken);
    if (!points) return points.problem();
    list.points = std::move(*points);
    list.rows = list.points.rows.size(), list.refused_count = list.points.refused_count;
    list.refused = list.points.refused, list.remarks = list.points.remarks;
  } else {
    Result<PlacementTable> table = read_placement_table(bytes, options.file, *taken);
    if (!table) return table.problem();
    list.placement = std::move(*table);
    list.rows = list.placement.rows.size(), list.refused_count = list.placement.refused_count;
    list.refused = list.placement.refused, list.remarks = list.placement.remarks;
    list.columns = list.placement.columns;
    list.remarks.push_back("cut at " + std::string(delimiter_name(list.placement.delimiter)) + ", lengths in " +
                           std::string(length_unit_name(list.placement.unit)));
    list.common = common_places(layer, list.placement);
  }
  return list;
}

Result<TiedList> tie_list(const ListOptions& options, const Understood& list) {
  TiedList tied;
  // Points are written by hand or by `marks-csv`, in the board's own frame unless somebody ties them.
  tied.is_same_frame = options.frame == "same" || (list.kind == "points" && options.ties.empty());
  if (tied.is_same_frame) return tied;
  for (const std::string& text : options.ties) {
    Result<TiePoint> point = tie_from(text, list);
    if (!point) return point.problem();
    tied.points.push_back(std::move(*point));
  }
  // Places said on the command line stand for themselves; the board's own parts fill in where they do not suffice.
  if (tied.points.size() < 2)
    for (const TiePoint& point : list.common) {
      bool said = false;
      for (const TiePoint& other : tied.points) said = said || other.name == point.name;
      if (!said) tied.points.push_back(point);
    }
  if (tied.points.size() < 2)
    return Problem{options.file, "", "two or more parts of the list on the board, --tie NAME=x,y twice, or --frame same",
                   std::to_string(tied.points.size()) + " known places", Outcome::finding};
  const MirrorChoice mirror = options.mirror == "yes" ? MirrorChoice::yes : options.mirror == "no" ? MirrorChoice::no : MirrorChoice::find;
  Result<FrameTie> tie = tie_frames(tied.points, mirror);
  if (!tie) return tie.problem();
  tied.tie = std::move(*tie);
  return tied;
}

std::vector<std::string> remarks_on(const TiedList& tied) {
  std::vector<std::string> remarks;
  const FrameTie& tie = tied.tie;
  if (tied.is_same_frame) return {"the list's frame is taken as the board's"};
  remarks.push_back("tied by " + std::to_string(tied.points.size()) + " parts: turned " + fixed(tie.turn_deg, 2) + " degrees, " +
                    (tie.mirrored ? "mirrored" : "not mirrored") + ", scale " + fixed(tie.scale, 5) + "; residual " + fixed(tie.rms_mm, 3) +
                    " mm rms, worst " + fixed(tie.worst_mm, 3) + " mm at " + tie.worst);
  if (tied.points.size() == 2) remarks.emplace_back("two places always fit: the residual says nothing of how good they are");
  if (!tie.mirror_known) remarks.emplace_back("these places cannot tell whether the list is mirrored; taken as not (override with --mirror yes)");
  if (!tie.spoiler.empty())
    remarks.push_back(tie.spoiler + " spoils the fit: without it the residual is " + fixed(tie.rms_without_spoiler_mm, 3) + " mm rms");
  const struct { double scale; const char* words; } slips[] = {{25.4, "inches"}, {0.0254, "mil"}, {1 / 25.4, "mm, read as inches"}, {1 / 0.0254, "mm, read as mil"}, {1000, "metres"}, {0.001, "micrometres"}};
  if (std::abs(tie.scale - 1) > 0.01) {
    std::string words = "a list in true millimetres has scale 1: check the board's scale, or the list's units";
    for (const auto& slip : slips)
      if (std::abs(tie.scale / slip.scale - 1) < 0.03) words = std::string("the scale suggests that the list is in ") + slip.words + " (--units)";
    remarks.push_back(words);
  }
  return remarks;
}

ImportPlan plan_list(const Layer& layer, const Understood& list, const TiedList& tied, const NewId& new_id, Timestamp now) {
  if (list.kind == "netlist") return plan_netlist(layer, list.netlist, tied.tie, new_id, now);
  if (list.kind == "points") return plan_points(layer, list.points, tied.tie, new_id, now);
  return plan_placement(layer, list.placement, tied.tie, new_id, now);
}

}  // namespace boardlore
