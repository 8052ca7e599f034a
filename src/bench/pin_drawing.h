// The pins of a part drawn as they lie in the photo's view of its side, numbered, pin 1 marked by shape.
#pragma once

#include "bench/scene.h"

namespace boardlore {

// A click on a pin lights its net, where one is known.
void draw_pins(const Scene& scene, BenchState& state, const Mark& mark, float width, float height);

}  // namespace boardlore
