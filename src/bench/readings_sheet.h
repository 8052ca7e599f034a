// All readings of the job as a table in the photo's place: newest first, narrowed by typing, sorted by a click
// on a column's head, saved as CSV. The rows are those of `boardlore readings` (judging/readings_table.h).
#pragma once

#include "bench/scene.h"

namespace boardlore {

void draw_readings_sheet(const Scene& scene, BenchState& state, ImVec2 min, ImVec2 max);

}  // namespace boardlore
