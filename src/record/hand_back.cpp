#include "record/hand_back.h"

#include <algorithm>
#include <set>

#include "editing/mark_rules.h"
#include "judging/compared_parts.h"
#include "record/record_words.h"
#include "record/warranty.h"

namespace boardlore {
namespace {

bool has_photo(const Job& job, Side side, std::initializer_list<PhotoStage> stages) {
  return std::any_of(job.photos.begin(), job.photos.end(), [&](const Photo& photo) {
    return photo.side == side && photo.stage && std::find(stages.begin(), stages.end(), *photo.stage) != stages.end();
  });
}

Problem refused(std::string where, std::string expected, std::string found, Outcome outcome = Outcome::bad_input) {
  return Problem{"", std::move(where), std::move(expected), std::move(found), outcome};
}

std::string joined(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines) text += (text.empty() ? "" : "; ") + line;
  return text;
}

}  // namespace

std::vector<std::string> open_points(const Snapshot& snapshot, Timestamp now) {
  std::vector<std::string> open;
  if (!snapshot.job) return open;
  const Job& job = *snapshot.job;
  for (const JudgedPoint& judged : judge_job(*snapshot.layer, job, now)) {
    if (judged.readings.empty() || !is_out_of_limits(judged.judgement.verdict)) continue;
    open.push_back(spoken_place(judged.point.refdes, judged.point.pin) + " last read " + spoken_reading(judged.readings.back()) + ": " +
                   std::string(verdict_words(judged.judgement.verdict)));
  }
  std::set<Id> seen;
  for (const Action& action : job.actions) {
    if (!is_rework(action.what) || !seen.insert(action.mark).second) continue;
    const MarkPtr mark = snapshot.layer->marks.find(action.mark);
    const Side side = mark ? mark->side : Side::top;
    const std::string name = mark ? spoken_name(*mark) : spoken_place(action.refdes, "");
    const std::optional<PartAnswer> answer = newest_answer(job, action.mark);
    const bool before = has_photo(job, side, {PhotoStage::intake, PhotoStage::before}), after = has_photo(job, side, {PhotoStage::after});
    if (!before) open.push_back(name + " was worked on, and there is no photo from before");
    if (!after) open.push_back(name + " was worked on, and there is no photo from after");
    if (!answer && before && after && mark && mark->kind == MarkKind::part) open.push_back(name + " was worked on, and not compared before and after");
    if (answer && is_overtaken(job, *answer)) open.push_back(name + " was worked on again after it was compared");
  }
  // An aid to the eye: whoever looked and found it right says so in the reason.
  seen.clear();
  for (const KeptComparison& comparison : job.comparisons)
    for (const ComparedPart& part : comparison.parts) {
      if (!seen.insert(part.mark).second) continue;
      const PartAnswer answer = *newest_answer(job, part.mark);
      if (urgency_of(answer.part->verdict) > urgency_of("missing")) continue;
      const MarkPtr mark = snapshot.layer->marks.find(part.mark);
      open.push_back((mark ? spoken_name(*mark) : spoken_place(part.refdes, "")) + " looks " + spoken_verdict(*answer.part) + " since before");
    }
  for (const Action& action : job.actions) {
    const auto left = std::count_if(action.steps.begin(), action.steps.end(), [](const Step& step) { return !step.done_at; });
    if (left > 0) open.push_back(spoken_place(action.refdes, "") + ": " + std::to_string(left) + (left == 1 ? " step" : " steps") + " of the rework not ticked");
  }
  for (const Check& check : job.checks)
    if (!check.ticked_at) open.push_back("check not done: " + check.text);
  return open;
}

Result<Edit> hand_back_edit(const Snapshot& snapshot, const HandBackRequest& request) {
  if (!snapshot.job) return refused("hand-back", "a job folder", "a board folder");
  if (snapshot.job->hand_back)
    return refused("hand-back", "a job that is open", "handed back on " + to_rfc3339(snapshot.job->hand_back->at) + " (reopen it first)");
  if (request.outcome != "fixed" && request.outcome != "not-fixed" && request.outcome != "no-fault")
    return refused("--outcome", "fixed, not-fixed or no-fault", request.outcome);
  Result<std::string> until = warranty_until(request.at, request.warranty_months);
  if (!until) return until.problem();
  if (const std::vector<std::string> open = open_points(snapshot, request.at); !open.empty() && request.reason.empty())
    return refused("hand-back", "nothing open, or --reason why it is closed all the same", joined(open), Outcome::finding);
  Job job = *snapshot.job;
  job.hand_back = HandBack{request.outcome, request.warranty_months, request.warranty_months > 0 ? *until : std::string{}, request.reason,
                           request.by, request.at};
  return Edit{ChangeJob{std::move(job), "hand back"}};
}

Result<Edit> reopen_edit(const Snapshot& snapshot, const std::string& reason, const std::string& by, Timestamp at, Id note_id) {
  if (!snapshot.job) return refused("reopen", "a job folder", "a board folder");
  if (!snapshot.job->hand_back) return refused("reopen", "a job that was handed back", "one that is open");
  if (reason.empty()) return refused("--reason", "why the job is opened again", "nothing");
  Job job = *snapshot.job;
  job.earlier_hand_backs.push_back(*job.hand_back);
  job.hand_back.reset();
  Note note;
  note.id = std::move(note_id);
  note.text = "Opened again: " + reason;
  note.by = by;
  note.at = at;
  note.internal = true;
  job.notes.push_back(std::move(note));
  return Edit{ChangeJob{std::move(job), "reopen"}};
}

Result<Edit> addendum_edit(const Snapshot& snapshot, const std::string& text, const std::string& by, Timestamp at, Id id) {
  if (!snapshot.job) return refused("addendum", "a job folder", "a board folder");
  if (!snapshot.job->hand_back) return refused("addendum", "a job that was handed back", "one that is open: write a note");
  if (text.empty()) return refused("TEXT", "what is to be added", "nothing");
  Job job = *snapshot.job;
  job.addenda.push_back({std::move(id), text, by, at});
  return Edit{ChangeJob{std::move(job), "addendum"}};
}

}  // namespace boardlore
