// boardlore judge JOBDIR: one verdict a point, from its last reading; exit 1 if any is out of limits.
#include "commands/command_support.h"
#include "commands/judgement_json.h"
#include "commands/text_table.h"
#include "domain/layer.h"

namespace boardlore {
namespace {

void run_judge(CommandLine& line, const std::string& dir) {
  const Result<Folder> folder = open_folder(line, dir);
  if (failed(line, folder)) return;
  if (!folder->is_job()) return complain(line, {dir, "", "a job folder", "a board folder"});
  const Snapshot& now = folder->now();
  const std::vector<JudgedPoint> points = judge_job(*now.layer, *now.job, folder->session().now());
  JsonOut json = JsonOut::array();
  std::vector<std::vector<std::string>> table;
  std::size_t out = 0;
  for (const JudgedPoint& one : points) {
    const bool is_out = is_out_of_limits(one.judgement.verdict);
    out += is_out ? 1 : 0;
    const std::string point = one.point.refdes + (one.point.pin.empty() ? "" : "." + one.point.pin);
    const std::string last = one.readings.empty() ? "-" : print_reading(one.readings.back());
    if (line.json) {
      JsonOut row{{"refdes", one.point.refdes}, {"pin", one.point.pin}, {"quantity", quantity_name(one.point.quantity)},
                  {"power", one.point.power == Power::on ? "on" : "off"}, {"readings", one.readings.size()}, {"last", last}};
      row.update(json_judgement(one.judgement));
      json.push_back(std::move(row));
    } else {
      std::string reason = one.judgement.reason;
      for (const std::string& more : one.judgement.remarks) reason += "; " + more;
      if (!one.judgement.before_after.empty()) reason += "; " + one.judgement.before_after;
      for (const std::string& caution : one.judgement.cautions) reason += "; caution: " + caution;
      table.push_back({is_out ? "!" : " ", point, std::string(quantity_name(one.point.quantity)), last, std::string(verdict_words(one.judgement.verdict)), reason});
    }
  }
  if (line.json) print_json(json);
  else print(text_table(table) + std::to_string(points.size()) + " points, " + std::to_string(out) + " out of limits\n");
  if (out > 0) line.outcome = Outcome::finding;
}

}  // namespace

void add_judge_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("judge", "Judge every point of a job; exit 1 if any is out of limits");
  auto dir = std::make_shared<std::string>();
  app->add_option("JOBDIR", *dir, "job folder")->required();
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, dir] { run_judge(line, *dir); });
}

}  // namespace boardlore
