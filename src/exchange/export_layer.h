// The layer for later jobs: what a job taught, with nothing of the owner, the unit, the place or the people.
#pragma once

#include <map>

#include "storage/folder.h"

namespace boardlore {

// Names of technicians on notes stay only if `keep_names`; marks that a job added keep their notes, not
// their authors. Reference photos are listed as the board has them; capture times and links go.
Layer shareable_layer(const Snapshot& snapshot, bool keep_names = false);

// What leaves the shop: the layer's text and the scrubbed photos it names, by file name.
struct SharedFiles {
  std::string layer_json;
  std::map<std::string, std::string> photos;
  std::size_t words_left_out = 0;     // private words found in free texts and replaced (private_words.h)
  std::size_t disputes_left_out = 0;  // not settled yet: the value that shows goes out
  std::string counts_left_out;        // why no counts of this shop's cures went along; empty: nothing is missing
};

// shareable_layer, and for strangers also without members this version does not know, without disputes, without the
// private words of this shop in any text; with the counts of what the shop's jobs on this board taught (from the shop
// index, where there is one), under the shop's number in shop.json, which the first such export writes there. The same
// folder gives the same bytes.
Result<SharedFiles> shared_files(const Folder& folder, bool keep_names = false);

// The layer to `out`, its photos beside it. A photo's name that another picture has there is a Problem: nothing is
// overwritten but the layer itself.
Result<SharedFiles> export_layer(const Folder& folder, const std::filesystem::path& out, bool keep_names = false);

// Merges the job's marks into the layer of its board, member by member. Number of disputes.
Result<std::size_t> share_with_board(Folder& job, Session session);

}  // namespace boardlore
