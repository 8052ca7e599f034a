// The few things a person sets, on one small sheet; each says what it does.
#pragma once

#include "bench/bench_settings.h"
#include "bench/scene.h"

namespace boardlore {

// Changes `settings` at once.
void draw_settings_sheet(const Scene& scene, BenchState& state, Settings& settings, ImVec2 window);

}  // namespace boardlore
