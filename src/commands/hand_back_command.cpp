// boardlore hand-back: closes the job, or says what is still open.
#include <algorithm>
#include <cstdio>
#include <iostream>
#include <unistd.h>

#include "commands/command_support.h"
#include "record/hand_back.h"

namespace boardlore {
namespace {

struct Given {
  std::string dir, outcome, reason;
  int warranty_months = 0;
  std::vector<std::string> checks;
};

// Ticks the check of that text, or adds it ticked.
Result<Done> tick(Folder& folder, const std::string& text) {
  if (!folder.now().job) return Problem{folder.dir().string(), "--check", "a job folder", "a board folder"};
  if (folder.now().job->hand_back) return Done{};  // hand_back_edit says so
  Job job = *folder.now().job;
  const auto there = std::find_if(job.checks.begin(), job.checks.end(), [&](const Check& check) { return check.text == text; });
  Check& check = there != job.checks.end() ? *there : job.checks.emplace_back(Check{text, {}});
  check.ticked_at = folder.session().now();
  return folder.commit(ChangeJob{std::move(job), "tick " + text});
}

// Of a person at a terminal; empty: the job stays open.
std::string asked_reason(const std::vector<std::string>& open) {
  print("Still open:\n");
  for (const std::string& point : open) print("  " + point + "\n");
  print("Why is it closed all the same? (Enter alone: it stays open) ");
  std::fflush(stdout);
  std::string reason;
  std::getline(std::cin, reason);
  return reason;
}

void run(CommandLine& line, const Given& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  for (const std::string& text : given.checks)
    if (failed(line, tick(*folder, text))) return;
  const Timestamp now = folder->session().now();
  const std::vector<std::string> open = open_points(folder->now(), now);
  std::string reason = given.reason;
  if (!open.empty() && reason.empty() && !line.json && isatty(STDIN_FILENO) != 0 && isatty(STDOUT_FILENO) != 0) reason = asked_reason(open);
  const Result<Edit> edit = hand_back_edit(folder->now(), {given.outcome, given.warranty_months, reason, folder->session().technician, now});
  if (!edit) {
    if (const Result<Done> saved = folder->save(); !saved) return complain(line, saved.problem());  // ticks are kept
    if (edit.problem().outcome != Outcome::finding) return complain(line, edit.problem());
    line.outcome = Outcome::finding;
    if (line.json) return print_json({{"closed", false}, {"open", open}});
    print("Still open (close it all the same with --reason):\n");
    for (const std::string& point : open) print("  " + point + "\n");
    return;
  }
  if (failed(line, folder->commit(*edit)) || failed(line, folder->save())) return;
  const HandBack& back = *folder->now().job->hand_back;
  if (line.json)
    return print_json({{"closed", true}, {"outcome", back.outcome}, {"warranty_until", back.warranty_until}, {"open", open}});
  print("handed back: " + back.outcome + (back.warranty_until.empty() ? "" : ", warranty until " + back.warranty_until) + "\n");
  for (const std::string& point : open) print("  closed over: " + point + "\n");
  print("What this job taught can go into the board's layer: boardlore learn JOBDIR for its final readings,\n"
        "boardlore export JOBDIR -o layer.json for the rest\n");
}

}  // namespace

void add_hand_back_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("hand-back", "Close the job: outcome, warranty, and what was still open");
  const auto given = std::make_shared<Given>();
  app->add_option("JOBDIR", given->dir, "job folder")->required();
  app->add_option("--outcome", given->outcome, "how it ended")->required()->check(CLI::IsMember({"fixed", "not-fixed", "no-fault"}));
  app->add_option("--warranty-months", given->warranty_months, "months from today, on the calendar (0: none)");
  app->add_option("--reason", given->reason, "why it is closed over open points");
  app->add_option("--check", given->checks, "a hand-back check that was done");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run(line, *given); });
}

}  // namespace boardlore
