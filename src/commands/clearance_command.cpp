// boardlore clearance: how far a part is from what must not be heated or knocked.
#include <cstdio>

#include "commands/clearance_json.h"
#include "commands/command_support.h"
#include "exchange/before_lift_question.h"

namespace boardlore {
namespace {

struct ClearanceOptions {
  std::string dir, refdes;
  double nozzle_mm = 0, within_mm = 10;
};

void run_clearance(CommandLine& line, const ClearanceOptions& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<MarkPtr> mark = mark_named(*folder, given.refdes);
  if (failed(line, mark)) return;
  ClearanceQuestion question = clearance_question(*folder, given.nozzle_mm);
  question.within_mm = given.within_mm;
  const Result<ClearanceReport> report = clearances(*folder->now().layer, (*mark)->id, question);
  if (failed(line, report)) return;
  if (line.json) return print_json(json_clearances(*report));
  std::string text;
  char row[300];
  if (given.nozzle_mm > 0) {
    std::snprintf(row, sizeof row, "heated circle of %.1f mm about %.2f, %.2f mm%s\n", given.nozzle_mm, report->axis.x_mm, report->axis.y_mm,
                  report->nozzle_travels ? "; the part is larger, so the nozzle travels over it" : "");
    text += row;
  }
  for (const Clearance& c : report->found) {
    std::snprintf(row, sizeof row, "%-24s %6.2f mm, at least %6.2f (error %.2f)%s%s", c.label.c_str(), c.distance_mm, c.at_least_mm, c.error_mm,
                  c.heated ? ", heated" : "", c.other_side ? ", on the other side (some heat comes through the board)" : "");
    text += row;
    if (c.max_temperature_c) std::snprintf(row, sizeof row, ", %.0f °C at most", *c.max_temperature_c), text += row;
    if (!c.advice.empty()) text += ", " + c.advice;
    text += '\n';
  }
  if (report->found.empty()) text += "nothing within reach\n";
  print(text);
}

}  // namespace

JsonOut json_clearance(const Clearance& c) {
  JsonOut json{{"id", c.mark.text}, {"label", c.label}, {"kind", std::string(mark_kind_name(c.kind))}, {"other_side", c.other_side},
               {"distance_mm", c.distance_mm}, {"error_mm", c.error_mm}, {"at_least_mm", c.at_least_mm}, {"from_axis_mm", c.from_axis_mm}, {"heated", c.heated}};
  if (!c.reason.empty()) json["reason"] = c.reason;
  if (!c.advice.empty()) json["advice"] = c.advice;
  if (c.max_temperature_c) json["max_temperature_cel"] = *c.max_temperature_c;
  if (c.height_mm) json["height_mm"] = *c.height_mm;
  return json;
}

JsonOut json_clearances(const ClearanceReport& report) {
  JsonOut list = JsonOut::array();
  for (const Clearance& c : report.found) list.push_back(json_clearance(c));
  return {{"axis_mm", json_point(report.axis)}, {"heated_radius_mm", report.heated_radius_mm}, {"nozzle_travels", report.nozzle_travels}, {"clearances", list}};
}

void add_clearance_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("clearance", "How far a part is from keep-outs and neighbours, nearest first");
  const auto given = std::make_shared<ClearanceOptions>();
  app->add_option("DIR", given->dir, "board or job folder")->required();
  app->add_option("REFDES", given->refdes, "designator (or a mark's id)")->required();
  app->add_option("--nozzle", given->nozzle_mm, "diameter of the hot-air nozzle in mm");
  app->add_option("--within", given->within_mm, "leave out what is farther than this and not heated, in mm (10)");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_clearance(line, *given); });
}

}  // namespace boardlore
