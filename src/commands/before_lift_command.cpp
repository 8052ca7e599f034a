// boardlore before-lift: the check before a part is lifted, and what is acknowledged or passed over with a reason.
#include <cstdio>

#include "commands/clearance_json.h"
#include "commands/command_support.h"
#include "exchange/before_lift_question.h"

namespace boardlore {
namespace {

struct BeforeLift {
  std::string dir, refdes, reason, alloy;
  double nozzle_mm = 0;
  std::optional<double> iron_c, air_c, preheat_c;
  std::vector<std::string> acknowledge;
};

// "neighbour:C14" for people, "neighbours" for all that are open; the report knows neighbours by id.
Result<std::vector<std::string>> points_named(const Folder& folder, const BeforeLiftReport& report, const std::vector<std::string>& names) {
  std::vector<std::string> points;
  for (const std::string& name : names) {
    if (name == "neighbours" && report.clearance) {
      for (const CheckPoint& point : report.points)
        if (point.point.starts_with("neighbour:") && point.state == PointState::open) points.push_back(point.point);
    } else if (name.starts_with("neighbour:") && !parse_id(name.substr(10))) {
      const Result<MarkPtr> mark = mark_named(folder, name.substr(10));
      if (!mark) return mark.problem();
      points.push_back("neighbour:" + (*mark)->id.text);
    } else {
      points.push_back(name);
    }
  }
  return points;
}

JsonOut json_report(const BeforeLiftReport& report) {
  JsonOut points = JsonOut::array(), cautions = JsonOut::array();
  for (const CheckPoint& p : report.points) {
    JsonOut one{{"point", p.point}, {"title", p.title}, {"state", std::string(point_state_name(p.state))}, {"found", p.found}};
    if (!p.to_do.empty()) one["to_do"] = p.to_do;
    if (p.state == PointState::open) one["by_acknowledging"] = p.by_acknowledging;
    if (!p.reason.empty()) one["reason"] = p.reason;
    if (!p.by.empty()) one["by"] = p.by;
    points.push_back(std::move(one));
  }
  for (const Caution& c : report.cautions) cautions.push_back({{"key", c.key}, {"text", c.text}, {"source", c.source}});
  return {{"refdes", report.refdes}, {"open", report.open_count()}, {"points", points},
          {"clearance", report.clearance ? json_clearances(*report.clearance) : JsonOut(nullptr)}, {"cautions", cautions},
          {"closing", std::string(cautions_closing)}};
}

std::string text_report(const BeforeLiftReport& report) {
  std::string text = "before lifting " + report.refdes + ":\n";
  for (const CheckPoint& p : report.points) {
    const char* state = p.state == PointState::open ? "OPEN  " : p.state == PointState::met ? "met   " : "passed";
    text += "  " + std::string(state) + " " + p.title + ": " + p.found + "\n";
    if (!p.to_do.empty()) text += "         to do: " + p.to_do + "  [" + p.point + "]\n";
    if (!p.reason.empty()) text += "         gone on over it" + (p.by.empty() ? "" : " by " + p.by) + ": " + p.reason + "\n";
  }
  for (const Caution& c : report.cautions) text += "  caution: " + c.text + "\n";
  const std::size_t open = report.open_count();
  text += open == 0 ? "no point is open\n" : std::to_string(open) + (open == 1 ? " point is open\n" : " points are open\n");
  return text + std::string(cautions_closing) + "\n";
}

void run_before_lift(CommandLine& line, const BeforeLift& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  if (!folder->is_job()) return complain(line, Problem{given.dir, "", "a job folder", "a board folder"});
  const Result<MarkPtr> mark = mark_named(*folder, given.refdes);
  if (failed(line, mark)) return;
  // Otherwise it would only be an open point of the list, as if the bench had to do something about it.
  if (!(given.nozzle_mm >= 0 && given.nozzle_mm <= 1000)) return complain(line, Problem{"", "--nozzle", "0 to 1000 mm", std::to_string(given.nozzle_mm)});
  BeforeLiftQuestion question = before_lift_question(*folder, **mark, given.nozzle_mm);
  if (given.iron_c || given.air_c || given.preheat_c || !given.alloy.empty()) {
    question.plan = Process{};
    question.plan->iron_c = given.iron_c, question.plan->air_c = given.air_c, question.plan->preheat_c = given.preheat_c;
    question.plan->alloy = given.alloy;
  }
  Result<BeforeLiftReport> report = before_lift(*folder->now().layer, *folder->now().job, (*mark)->id, question);
  if (failed(line, report)) return;
  if (!given.acknowledge.empty()) {
    const auto points = points_named(*folder, *report, given.acknowledge);
    if (failed(line, points)) return;
    std::vector<Edit> edits;
    for (const std::string& point : *points) {
      if (failed(line, may_acknowledge(*report, point, given.reason))) return;
      edits.push_back(PutAcknowledgement{{folder->session().new_id(), (*mark)->id, point, given.reason, folder->session().technician, folder->session().now(), {}}});
    }
    if (!edits.empty() && (failed(line, folder->commit("before-lift check of " + (*mark)->refdes, edits)) || failed(line, folder->save()))) return;
    report = before_lift(*folder->now().layer, *folder->now().job, (*mark)->id, question);
    if (failed(line, report)) return;
  } else if (!given.reason.empty()) {
    return complain(line, Problem{"", "--reason", "a point to go on over (--acknowledge POINT)", "none"});
  }
  line.json ? print_json(json_report(*report)) : print(text_report(*report));
  if (report->open_count() > 0) line.outcome = Outcome::finding;
}

}  // namespace

void add_before_lift_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("before-lift", "The check before a part is lifted; exit 1 while a point is open");
  const auto given = std::make_shared<BeforeLift>();
  app->add_option("JOBDIR", given->dir, "job folder")->required();
  app->add_option("REFDES", given->refdes, "designator (or a mark's id)")->required();
  app->add_option("--nozzle", given->nozzle_mm, "diameter of the hot-air nozzle in mm");
  app->add_option("--iron", given->iron_c, "planned iron temperature in °C");
  app->add_option("--air", given->air_c, "planned air temperature in °C");
  app->add_option("--preheat", given->preheat_c, "planned preheat in °C");
  app->add_option("--alloy", given->alloy, "alloy of the joint, as in SAC305");
  app->add_option("--acknowledge", given->acknowledge, "a point seen or passed over: pin1, orientation-photo, neighbour:C14, neighbours, spare, readings, cautions");
  app->add_option("--reason", given->reason, "why the work goes on over it; stays in the record");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_before_lift(line, *given); });
}

}  // namespace boardlore
