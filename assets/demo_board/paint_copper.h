// The flat of the board: laminate, copper under the mask, lands, vias, drills, fiducials.
#pragma once
#include "dice.h"
#include "parts.h"
#include "pen.h"

namespace demo_board {

void paint_board_plane(Pen& pen, Side side, Solid light);
// Lands and the solder on them; `unit` varies the solder from one unit to the next.
void paint_lands(Pen& pen, Side side, Solid light, std::uint64_t unit, const std::vector<Part>& fitted);
void paint_targets(Pen& pen, Side side);

}  // namespace demo_board
