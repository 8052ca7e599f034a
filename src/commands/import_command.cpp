// boardlore import FILE --into BOARDDIR: parts, nets or points of a list onto a board.
#include <cmath>
#include <cstdio>
#include <memory>

#include "commands/command_support.h"
#include "import/import_plan.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

struct ImportOptions {
  std::string file, into, kind = "auto", units, decimal, side, columns, frame = "find", mirror = "find";
  std::vector<std::string> ties;
  double max_residual_mm = 1.0;  // common practice, no source: half the pitch of a 0805's lands
  bool dry_run = false;
};

// What a list of any kind came to, for printing.
struct Understood {
  std::string kind;
  std::size_t rows = 0, refused_count = 0;
  std::vector<std::string> columns, remarks;
  std::vector<RefusedRow> refused;
  std::vector<TiePoint> common;
  PlacementTable placement;
  Netlist netlist;
  PointTable points;
};

Result<PlacementOptions> overrides(const ImportOptions& options) {
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

Result<Understood> understand(const ImportOptions& options, const Layer& layer) {
  Result<std::string> bytes = read_file(options.file, max_import_bytes);
  if (!bytes) return bytes.problem();
  Result<PlacementOptions> taken = overrides(options);
  if (!taken) return taken.problem();
  Understood list;
  list.kind = options.kind;
  if (list.kind == "auto") list.kind = looks_like_netlist(*bytes) ? "netlist" : "placement";
  if (list.kind == "netlist") {
    std::optional<NetlistUnit> unit;
    if (options.units == "mm") unit = NetlistUnit::mm_degrees;
    if (options.units == "inch" || options.units == "mil") unit = NetlistUnit::inch_degrees;
    Result<Netlist> netlist = read_netlist(*bytes, options.file, unit);
    if (!netlist) return netlist.problem();
    list.netlist = std::move(*netlist);
    list.rows = list.netlist.points.size(), list.refused_count = list.netlist.refused_count;
    list.refused = list.netlist.refused, list.remarks = list.netlist.remarks;
    list.common = common_places(layer, parts_of(list.netlist));
  } else if (list.kind == "points") {
    Result<PointTable> points = read_points(*bytes, options.file, *taken);
    if (!points) return points.problem();
    list.points = std::move(*points);
    list.rows = list.points.rows.size(), list.refused_count = list.points.refused_count;
    list.refused = list.points.refused, list.remarks = list.points.remarks;
  } else {
    Result<PlacementTable> table = read_placement_table(*bytes, options.file, *taken);
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

struct Tied {
  FrameTie tie;
  std::vector<TiePoint> points;
  bool is_same_frame = false;
};

Result<Tied> tie_list(const ImportOptions& options, const Understood& list) {
  Tied tied;
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

std::string fixed(double value, int decimals) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return text;
}

std::vector<std::string> remarks_on(const Tied& tied) {
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

void print_text(const ImportOptions& options, const Understood& list, const std::vector<std::string>& tie_remarks, const ImportPlan& plan, bool taken) {
  const auto say = [](const std::string& line) { print(line + "\n"); };
  say(options.file + ": " + list.kind + ", " + std::to_string(list.rows) + " rows understood, " + std::to_string(list.refused_count) + " not");
  for (const std::string& column : list.columns) say("  " + column);
  for (const auto* remarks : {&list.remarks, &tie_remarks, &plan.remarks})
    for (const std::string& remark : *remarks) say("  " + remark);
  for (const RefusedRow& row : list.refused) say("  line " + std::to_string(row.line) + " not taken: " + row.reason);
  if (list.refused_count > list.refused.size()) say("  and " + std::to_string(list.refused_count - list.refused.size()) + " more");
  for (const RefusedRow& row : plan.refused) say("  line " + std::to_string(row.line) + " not placed: " + row.reason);
  say(std::string(taken ? "taken: " : "would be taken: ") + std::to_string(plan.added.size()) + " new, " + std::to_string(plan.changed.size()) +
      " changed, " + std::to_string(plan.unchanged) + " as they were");
}

void print_document(const ImportOptions& options, const Understood& list, const Tied& tied, const std::vector<std::string>& tie_remarks,
                const ImportPlan& plan, bool taken) {
  JsonOut out;
  out["file"] = options.file;
  out["kind"] = list.kind;
  out["rows"] = list.rows;
  out["columns"] = list.columns;
  out["remarks"] = JsonOut::array();
  for (const auto* remarks : {&list.remarks, &tie_remarks, &plan.remarks})
    for (const std::string& remark : *remarks) out["remarks"].push_back(remark);
  out["refused_count"] = list.refused_count + plan.refused.size();
  out["refused"] = JsonOut::array();
  for (const auto* rows : {&list.refused, &plan.refused})
    for (const RefusedRow& row : *rows) out["refused"].push_back({{"line", row.line}, {"reason", row.reason}});
  if (!tied.is_same_frame) {
    out["tie"] = {{"points", tied.points.size()}, {"turn_deg", tied.tie.turn_deg}, {"mirrored", tied.tie.mirrored},
                  {"mirror_known", tied.tie.mirror_known}, {"scale", tied.tie.scale}, {"rms_mm", tied.tie.rms_mm},
                  {"worst_mm", tied.tie.worst_mm}, {"worst", tied.tie.worst}, {"spoiler", tied.tie.spoiler}};
  }
  out["added"] = plan.added;
  out["changed"] = plan.changed;
  out["unchanged"] = plan.unchanged;
  out["taken"] = taken;
  print_json(out);
}

void run_import(const ImportOptions& options, CommandLine& line) {
  Result<Folder> folder = open_folder(line, options.into);
  if (!folder) return complain(line, folder.problem());
  const Layer& layer = *folder->now().layer;
  Result<Understood> list = understand(options, layer);
  if (!list) return complain(line, list.problem());
  Result<Tied> tied = tie_list(options, *list);
  ImportPlan plan;
  std::vector<std::string> tie_remarks;
  if (tied) {
    tie_remarks = remarks_on(*tied);
    const NewId new_id = [&] { return folder->session().new_id(); };
    const Timestamp now = folder->session().now();
    plan = list->kind == "netlist"  ? plan_netlist(layer, list->netlist, tied->tie, new_id, now)
           : list->kind == "points" ? plan_points(layer, list->points, tied->tie, new_id, now)
                                    : plan_placement(layer, list->placement, tied->tie, new_id, now);
  }
  const bool fits = tied && tied->tie.rms_mm <= options.max_residual_mm;
  bool taken = false;
  if (fits && !options.dry_run && !plan.edits.empty()) {
    const std::string name = "import " + std::filesystem::path(options.file).filename().string();
    if (const Result<Done> done = folder->commit(name, plan.edits); !done) return complain(line, done.problem());
    if (const Result<Done> saved = folder->save(); !saved) return complain(line, saved.problem());
    taken = true;
  }
  if (fits && !options.dry_run) taken = true;
  // What was understood is shown even where the list could not be tied.
  if (line.json) print_document(options, *list, tied ? *tied : Tied{{}, {}, true}, tie_remarks, plan, taken);
  else print_text(options, *list, tie_remarks, plan, taken);
  if (!tied) return complain(line, tied.problem());
  if (!fits)
    complain(line, Problem{options.file, "tie", "a residual of at most " + fixed(options.max_residual_mm, 2) + " mm (--max-residual)",
                           fixed(tied->tie.rms_mm, 3) + " mm; nothing was taken", Outcome::finding});
}

}  // namespace

void add_import_command(CommandLine& line) {
  auto options = std::make_shared<ImportOptions>();
  CLI::App* app = line.app->add_subcommand("import", "Take parts, nets or points from a list onto a board");
  app->add_option("FILE", options->file, "Placement table, IPC-D-356 netlist or CSV of points")->required();
  app->add_option("--into", options->into, "The board's folder (or a job's)")->required();
  app->add_option("--kind", options->kind, "What FILE is")->check(CLI::IsMember({"auto", "placement", "netlist", "points"}));
  app->add_flag("--dry-run", options->dry_run, "Show what was understood, take nothing");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->add_option("--units", options->units, "Over what the file says")->check(CLI::IsMember({"mm", "mil", "inch", "um"}));
  app->add_option("--decimal", options->decimal, "How numbers are written")->check(CLI::IsMember({"point", "comma"}));
  app->add_option("--side", options->side, "For a table that says no side")->check(CLI::IsMember({"top", "bottom"}));
  app->add_option("--columns", options->columns, "refdes,x,y,rotation,side,value,package in the file's order, - to skip one");
  app->add_option("--tie", options->ties, "NAME=x,y: where a part of the list is on the board, mm; twice or more")->take_all();
  app->add_option("--frame", options->frame, "same: the list's frame is the board's")->check(CLI::IsMember({"find", "same"}));
  app->add_option("--mirror", options->mirror, "Whether the list is drawn as seen from below")->check(CLI::IsMember({"find", "yes", "no"}));
  app->add_option("--max-residual", options->max_residual_mm, "Refuse a tie that fits worse, mm")->check(CLI::PositiveNumber);
  app->callback([options, &line] { run_import(*options, line); });
}

}  // namespace boardlore
