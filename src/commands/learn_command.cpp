// boardlore learn JOBDIR: after a good hand-back, the job's final readings become samples of its board.
#include "commands/command_support.h"
#include "commands/judgement_json.h"
#include "exchange/learn_from_job.h"

namespace boardlore {
namespace {

void run_learn(CommandLine& line, const std::string& dir, bool again, bool dry_run) {
  Result<Folder> job = open_folder(line, dir);
  if (failed(line, job)) return;
  const Result<Lessons> learnt_now = learn_from_job(*job, again, dry_run);
  if (failed(line, learnt_now)) return;
  const Lessons& lessons = *learnt_now;
  if (line.json) {
    JsonOut learnt = JsonOut::array();
    for (const Lesson& lesson : lessons.learnt)
      learnt.push_back({{"point", lesson.point}, {"quantity", quantity_name(lesson.sample.quantity)},
                        {"value", lesson.sample.qualifier == Qualifier::overload ? JsonOut() : JsonOut(lesson.sample.value)}});
    return print_json({{"learnt", learnt}, {"left_out", lessons.left_out}, {"written", !dry_run && !lessons.learnt.empty()}});
  }
  std::string text = std::to_string(lessons.learnt.size()) + (dry_run ? " readings would become samples\n" : " readings became samples of the board\n");
  for (const Lesson& lesson : lessons.learnt)
    text += "  " + lesson.point + " " + std::string(quantity_name(lesson.sample.quantity)) + " " +
            (lesson.sample.qualifier == Qualifier::overload ? "OL" : print_engineering(lesson.sample.value, lesson.sample.quantity)) + "\n";
  for (const std::string& why : lessons.left_out) text += "  left out: " + why + "\n";
  print(text);
}

}  // namespace

void add_learn_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("learn", "After a good hand-back: the job's final readings become samples of its board");
  struct Given {
    std::string dir;
    bool again = false, dry_run = false;
  };
  auto given = std::make_shared<Given>();
  app->add_option("JOBDIR", given->dir, "job folder")->required();
  app->add_flag("--again", given->again, "even if it was learnt from before");
  app->add_flag("--dry-run", given->dry_run, "say what would be learnt; write nothing");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_learn(line, given->dir, given->again, given->dry_run); });
}

}  // namespace boardlore
