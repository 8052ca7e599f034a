// The answer of a before/after comparison kept in the job, so that the record can show what was said then.
#pragma once

#include "alignment/compare.h"
#include "editing/document.h"

namespace boardlore {

struct ComparedPhotos {
  Id before, after;
};

// Puts it in the place of an earlier one of the same two photos. Refused: no job, or a job that is handed back.
Result<Edit> keep_comparison_edit(const Snapshot& snapshot, const Comparison& comparison, const ComparedPhotos& photos,
                                  const std::string& by, Timestamp at, Id id);

}  // namespace boardlore
