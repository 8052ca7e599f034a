// What several people on one folder leave to be seen: who else is here, what they changed differently, and earlier
// versions to bring back. Each is one click, and each click is one step to undo.
#pragma once

#include "bench/scene.h"
#include "bench/tasks.h"
#include "storage/history.h"
#include "storage/settle.h"

namespace boardlore {

struct ListedVersion {
  KeptVersion version;
  std::string holds;  // in a few words
};

struct SharingSheet {
  bool shown = false;
  std::vector<ListedVersion> versions;  // newest first
  std::uint64_t of_version = 0;       // of the desk's view they were listed for
  Task<std::vector<ListedVersion>> listing;
  bool at_work = false;
};

// "2 disputes", "Ann is here": what the button in the top line says beside where saving stands; empty: nothing.
std::string sharing_words(const DeskView& desk);

void draw_sharing_sheet(const Scene& scene, SharingSheet& sheet, ImVec2 window);

}  // namespace boardlore
