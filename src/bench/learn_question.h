// After a good hand-back: whether this job's final readings become samples of the board. Asked, never done by
// itself; asked once.
#pragma once

#include "bench/scene.h"

namespace boardlore {

// Draws nothing where there is nothing to learn.
void draw_learn_question(const Scene& scene, BenchState& state);

}  // namespace boardlore
