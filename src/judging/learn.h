// What a good job teaches: its final readings become samples of the board, stripped of their owner.
#pragma once

#include <functional>

#include "domain/layer.h"
#include "judging/judge.h"

namespace boardlore {

struct Lesson {
  Id mark;
  std::string point;                 // "U3.7"
  Sample sample;
};

struct Lessons {
  std::vector<Lesson> learnt;
  std::vector<std::string> left_out;  // "C14 resistance: out of limits (low)"
};

// The last reading of each point. Left out: out of limits, still moving, taken under power where that is not
// valid, at least/at most, or on a mark the board does not have. The day only is kept of the time.
Lessons lessons_of(const Layer& board, const Layer& as_job_sees_it, const Job& job, Timestamp now, const std::function<Id()>& new_id);

}  // namespace boardlore
