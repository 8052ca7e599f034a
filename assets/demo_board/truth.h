// What the pictures show, in numbers: homographies, fiducials, parts; for tests and for the layer.
#pragma once
#include <string>

#include "scenes.h"

namespace demo_board {

std::string truth_json();
// Fiducials as somebody would click them: rounded to 0.1 px, up to 0.6 px off.
std::string picked_fiducials_json(const Scene& scene);

}  // namespace demo_board
