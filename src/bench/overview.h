// The shortcut overview, drawn from the table that binds the keys.
#pragma once

#include "bench/scene.h"

namespace boardlore {

void draw_overview(const Scene& scene, BenchState& state, ImVec2 window);

}  // namespace boardlore
