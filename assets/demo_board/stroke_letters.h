// Single-stroke letters as silkscreen plots them: each letter is a few polylines on a grid
// 4 wide and 6 high. Drawn here so that the pictures depend on no installed font.
#pragma once
#include <string_view>
#include <vector>

#include "camera.h"

namespace demo_board {

using Stroke = std::vector<Point>;

// Strokes of a line of text, capital height 1.0, baseline at y = 0, starting at x = 0.
std::vector<Stroke> stroke_text(std::string_view text);
double stroke_text_width(std::string_view text);

}  // namespace demo_board
