#include "exchange/learn_from_job.h"

#include <map>

namespace boardlore {
namespace {

// How the job remembers that it was learnt from; an addendum, so that the owner's copy shows it too.
constexpr const char* learnt_words = "Readings taken over as samples of the board: ";

}  // namespace

bool learnt_before(const Job& job) {
  for (const Addendum& addendum : job.addenda)
    if (addendum.text.starts_with(learnt_words)) return true;
  return false;
}

bool may_learn(const Job& job) { return job.hand_back && job.hand_back->outcome != "not-fixed" && !learnt_before(job) && !job.readings.empty(); }

Result<Lessons> learn_from_job(Folder& job, bool again, bool dry_run) {
  const std::string dir = job.dir().string();
  if (!job.is_job()) return Problem{dir, "", "a job folder", "a board folder"};
  const Job now = *job.now().job;
  if (!now.hand_back || now.hand_back->outcome == "not-fixed")
    return Problem{dir, "hand-back", "a job handed back as fixed or with no fault", now.hand_back ? "not fixed" : "still open"};
  if (learnt_before(now) && !again) return Problem{dir, "", "a job not learnt from yet (--again takes its readings once more)", "learnt from before"};
  if (job.board_dir().empty()) return Problem{dir, "/board", "the board's folder", "not found"};
  Result<Folder> board = Folder::open(job.board_dir(), job.session());
  if (!board) return board.problem();
  const Lessons lessons = lessons_of(*board->now().layer, *job.now().layer, now, board->session().now(), [&] { return board->session().new_id(); });
  if (dry_run || lessons.learnt.empty()) return lessons;
  std::map<Id, Mark> changed;
  for (const Lesson& lesson : lessons.learnt) {
    const auto [place, fresh] = changed.try_emplace(lesson.mark, *board->now().layer->marks.find(lesson.mark));
    place->second.samples.push_back(lesson.sample);
  }
  std::vector<Edit> edits;
  for (auto& [id, mark] : changed) edits.push_back(ChangeMark{std::move(mark), ""});
  if (const Result<Done> done = board->commit("learn from a job", edits); !done) return done.problem();
  if (const Result<Done> done = board->save(); !done) return done.problem();
  Job noted = now;
  noted.addenda.push_back({job.session().new_id(), learnt_words + std::to_string(lessons.learnt.size()) + " points", job.session().technician, job.session().now()});
  if (const Result<Done> done = job.commit(ChangeJob{std::move(noted), "learnt from"}); !done) return done.problem();
  if (const Result<Done> done = job.save(); !done) return done.problem();
  return lessons;
}

}  // namespace boardlore
