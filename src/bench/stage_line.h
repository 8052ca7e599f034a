// The stages of a job along the top, each with how much is still open. Counting is pure; choosing a stage
// decides what the worklist and the card bring forward.
#pragma once

#include "bench/rows.h"
#include "bench/scene.h"

namespace boardlore {

// Of a job; a board folder has none.
StageRows stage_rows(const DeskView& desk);
std::string stage_name(Stage stage);

// Draws into the current panel, `width` wide.
void draw_stage_line(const Scene& scene, BenchState& state, float width);

}  // namespace boardlore
