// Disputes that a merge left: what they are about, in words, and the edits that settle one.
#pragma once

#include "editing/document.h"

namespace boardlore {

// A board's are in its layer, a job's in the job. In id order.
const std::vector<Dispute>& disputes_of(const Snapshot& snapshot);

struct SpokenDispute {
  std::string about;       // "C14: value"
  std::string one, other;  // the values as people read them; "taken out" for a removal
};
SpokenDispute spoken_dispute(const Snapshot& snapshot, const Dispute& dispute);

// both: two marks that were offered as one stay two. Only there.
enum class Choice { one, other, both };

// One undo step: the chosen value put in, the dispute gone. Two marks offered as one become the chosen one,
// with what only the other knew. Refused: no such dispute, or a place that is no longer there.
Result<std::vector<Edit>> settling_edits(const Snapshot& snapshot, const Id& dispute, Choice choice);

}  // namespace boardlore
