// Closing a job: what is still open, and the job as it stands closed, opened again or added to.
//
// A unit handed back over a reading out of limits must be a decision with a reason, not an oversight. A
// closed job is evidence: only an addendum with its own author and time may follow, and opening it again
// keeps what was said before.
#pragma once

#include "editing/document.h"
#include "judging/judge.h"

namespace boardlore {

// One line each: readings out of limits, parts worked on without photos before and after or
// not compared, parts that look turned or missing, steps and checks not ticked.
std::vector<std::string> open_points(const Snapshot& snapshot, Timestamp now);

struct HandBackRequest {
  std::string outcome;         // "fixed", "not-fixed", "no-fault"
  int warranty_months = 0;
  std::string reason, by;
  Timestamp at;
};

// The edit that closes the job. Refused: no job, closed already, an unknown outcome, months out of range, or
// (as a finding that lists them) points still open without a reason.
Result<Edit> hand_back_edit(const Snapshot& snapshot, const HandBackRequest& request);
// Keeps the hand-back among the earlier ones and the reason as an internal note. Refused: not closed, no reason.
Result<Edit> reopen_edit(const Snapshot& snapshot, const std::string& reason, const std::string& by, Timestamp at, Id note_id);
// Refused: no job, not closed (it can still be edited), no text.
Result<Edit> addendum_edit(const Snapshot& snapshot, const std::string& text, const std::string& by, Timestamp at, Id id);

}  // namespace boardlore
