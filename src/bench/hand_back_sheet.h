// The sheet of the hand-back stage: what is still open, the checks, outcome and warranty, the record as a file;
// once closed, what was said and what may still follow. All of it is record/hand_back.h, done on the desk.
#pragma once

#include "bench/scene.h"

namespace boardlore {

// What its fields hold, and what is open as of the document they were worked out from.
struct HandBackSheet {
  std::string outcome, months = "12", reason, new_check, addendum, reopen_reason;
  std::shared_ptr<const Job> of_job;
  std::shared_ptr<const Layer> of_layer;
  std::vector<std::string> open;
};

void draw_hand_back_sheet(const Scene& scene, HandBackSheet& sheet);

}  // namespace boardlore
