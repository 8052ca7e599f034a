// From a finished job to its board: the job's final readings become samples of a unit known good. The command
// `boardlore learn` and the question the window asks after a hand-back both end here.
#pragma once

#include "judging/learn.h"
#include "storage/folder.h"

namespace boardlore {

// Whether the readings may be learnt: handed back as fixed or with no fault, and not learnt from before.
bool may_learn(const Job& job);
bool learnt_before(const Job& job);

// Commits and saves both folders: the samples into the board, a line into the job that says so. `dry_run`:
// only what would be learnt. A Problem where the job is open, not fixed, learnt from before (unless `again`)
// or its board's folder is not found.
Result<Lessons> learn_from_job(Folder& job, bool again, bool dry_run);

}  // namespace boardlore
