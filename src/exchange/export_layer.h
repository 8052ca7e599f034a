// The layer for later jobs: what a job taught, with nothing of the owner, the unit, the place or the people.
#pragma once

#include "storage/folder.h"

namespace boardlore {

// Names of technicians on notes stay only if `keep_names`; marks that a job added keep their notes, not
// their authors. Reference photos are listed as the board has them; capture times and links go.
Layer shareable_layer(const Snapshot& snapshot, bool keep_names = false);

// Writes the layer to `out` with the counts of what the shop's jobs on this board taught (from the shop index, where
// there is one; never in the board's own layer, or they would be counted twice), and beside it scrubbed copies of the reference photos that are not there yet.
Result<Done> export_layer(const Folder& folder, const std::filesystem::path& out, bool keep_names = false);

// Merges the job's marks into the layer of its board, member by member. Number of disputes.
Result<std::size_t> share_with_board(Folder& job, Session session);

}  // namespace boardlore
