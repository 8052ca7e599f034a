// The stages of a job along the top, each with how much is still open. Counting is pure; choosing a stage
// decides what the worklist and the card bring forward.
#pragma once

#include <array>

#include "bench/scene.h"

namespace boardlore {

struct StageRow {
  Stage stage = Stage::intake;
  std::string name;
  int open = 0;                     // points still open
  std::vector<std::string> points;  // what they are
};

// Of a job; a board folder has none.
std::array<StageRow, stage_count> stage_rows(const DeskView& desk);
std::string stage_name(Stage stage);

// Draws into the current panel, `width` wide.
void draw_stage_line(const Scene& scene, BenchState& state, float width);

}  // namespace boardlore
