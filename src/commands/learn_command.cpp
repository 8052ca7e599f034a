// boardlore learn JOBDIR: after a good hand-back, the job's final readings become samples of its board.
#include <map>

#include "commands/command_support.h"
#include "commands/judgement_json.h"
#include "judging/learn.h"

namespace boardlore {
namespace {

// How the job remembers that it was learnt from; an addendum, so that the owner's copy shows it too.
constexpr const char* learnt_words = "Readings taken over as samples of the board: ";

bool learnt_before(const Job& job) {
  for (const Addendum& addendum : job.addenda)
    if (addendum.text.starts_with(learnt_words)) return true;
  return false;
}

void run_learn(CommandLine& line, const std::string& dir, bool again, bool dry_run) {
  Result<Folder> job = open_folder(line, dir);
  if (failed(line, job)) return;
  if (!job->is_job()) return complain(line, {dir, "", "a job folder", "a board folder"});
  const Job& now = *job->now().job;
  if (!now.hand_back || now.hand_back->outcome == "not-fixed")
    return complain(line, {dir, "hand-back", "a job handed back as fixed or with no fault", now.hand_back ? "not fixed" : "still open"});
  if (learnt_before(now) && !again) return complain(line, {dir, "", "a job not learnt from yet (--again takes its readings once more)", "learnt from before"});
  if (job->board_dir().empty()) return complain(line, {dir, "/board", "the board's folder", "not found"});
  Result<Folder> board = open_folder(line, job->board_dir());
  if (failed(line, board)) return;
  const Lessons lessons = lessons_of(*board->now().layer, *job->now().layer, now, board->session().now(), [&] { return board->session().new_id(); });
  if (!dry_run && !lessons.learnt.empty()) {
    std::map<Id, Mark> changed;
    for (const Lesson& lesson : lessons.learnt) {
      const auto [place, fresh] = changed.try_emplace(lesson.mark, *board->now().layer->marks.find(lesson.mark));
      place->second.samples.push_back(lesson.sample);
    }
    std::vector<Edit> edits;
    for (auto& [id, mark] : changed) edits.push_back(ChangeMark{std::move(mark), ""});
    if (failed(line, board->commit("learn from a job", edits)) || failed(line, board->save())) return;
    Job noted = now;
    noted.addenda.push_back({job->session().new_id(), learnt_words + std::to_string(lessons.learnt.size()) + " points", job->session().technician, job->session().now()});
    if (failed(line, job->commit(ChangeJob{std::move(noted), "learnt from"})) || failed(line, job->save())) return;
  }
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
