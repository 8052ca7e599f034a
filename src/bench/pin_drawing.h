// The pins of a part drawn as they lie in the photo's view of its side, numbered, pin 1 marked by shape.
#pragma once

#include "bench/scene.h"

namespace boardlore {

void draw_pins(const Scene& scene, const Mark& mark, float width, float height);

}  // namespace boardlore
