// The photos of the job and of its board along the bottom, in the order they were taken.
#pragma once

#include "bench/scene.h"

namespace boardlore {

struct RollRow {
  Id photo;
  std::string caption;   // "before", "reference"
  std::string second;    // "top, 10:20"
  bool registered = false;
};

std::vector<RollRow> roll_rows(const DeskView& desk);
void draw_photo_roll(const Scene& scene, BenchState& state, float height);

}  // namespace boardlore
