// White print on the board: designators, outlines, pin-1 marks, the board's name.
#pragma once
#include "parts.h"
#include "pen.h"

namespace demo_board {

void paint_silkscreen(Pen& pen, Side side);

}  // namespace demo_board
