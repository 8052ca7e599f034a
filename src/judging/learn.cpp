#include "judging/learn.h"

namespace boardlore {

Lessons lessons_of(const Layer& board, const Layer& as_job_sees_it, const Job& job, Timestamp now, const std::function<Id()>& new_id) {
  constexpr std::int64_t day_ms = 86400000;
  Lessons lessons;
  for (const JudgedPoint& one : judge_job(as_job_sees_it, job, now)) {
    if (one.readings.empty()) continue;
    const Reading& last = one.readings.back();
    const std::string point = one.point.refdes + (one.point.pin.empty() ? "" : "." + one.point.pin);
    const Verdict verdict = one.judgement.verdict;
    std::string why;
    if (!board.marks.find(one.point.mark)) why = "no such mark on the board";
    else if (is_out_of_limits(verdict)) why = "out of limits (" + std::string(verdict_words(verdict)) + ")";
    else if (verdict == Verdict::charging || verdict == Verdict::drifting_up || verdict == Verdict::drifting_down) why = "still moving (" + std::string(verdict_words(verdict)) + ")";
    else if (!one.judgement.cautions.empty()) why = one.judgement.cautions[0];
    else if (last.qualifier == Qualifier::at_least || last.qualifier == Qualifier::at_most) why = "no exact value";
    if (!why.empty()) {
      lessons.left_out.push_back(point + " " + std::string(quantity_name(one.point.quantity)) + ": " + why);
      continue;
    }
    Sample sample;
    sample.id = new_id();
    sample.quantity = last.quantity;
    sample.pin = last.pin;
    sample.qualifier = last.qualifier;
    sample.value = last.value;
    sample.power = last.conditions.power;
    sample.taken_at.ms = last.taken_at.ms - ((last.taken_at.ms % day_ms) + day_ms) % day_ms;
    lessons.learnt.push_back({one.point.mark, point, std::move(sample)});
  }
  return lessons;
}

}  // namespace boardlore
