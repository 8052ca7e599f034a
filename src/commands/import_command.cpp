// boardlore import FILE --into BOARDDIR: parts, nets or points of a list onto a board.
#include <cstdio>
#include <memory>

#include "commands/command_support.h"
#include "import/read_list.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

struct ImportOptions : ListOptions {
  std::string into;
  bool dry_run = false;
};

std::string fixed(double value, int decimals) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return text;
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

void print_document(const ImportOptions& options, const Understood& list, const TiedList& tied, const std::vector<std::string>& tie_remarks,
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
  Result<std::string> bytes = read_file(options.file, max_import_bytes);
  if (failed(line, bytes)) return;
  Result<Understood> list = understand_list(*bytes, options, layer);
  if (!list) return complain(line, list.problem());
  Result<TiedList> tied = tie_list(options, *list);
  ImportPlan plan;
  std::vector<std::string> tie_remarks;
  if (tied) {
    tie_remarks = remarks_on(*tied);
    const NewId new_id = [&] { return folder->session().new_id(); };
    const Timestamp now = folder->session().now();
    plan = plan_list(layer, *list, *tied, new_id, now);
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
  if (line.json) print_document(options, *list, tied ? *tied : TiedList{{}, {}, true}, tie_remarks, plan, taken);
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
