// Lands of a part and the way from the part's own frame to the board frame.
#pragma once
#include "parts.h"

namespace demo_board {

struct Land {
  int pin = 0;
  Point at;              // part frame, mm
  double size_x = 0.0;
  double size_y = 0.0;
  bool round = false;
  double drill_mm = 0.0; // 0: surface land
};

std::vector<Land> lands(const Part& part);
Point board_from_part(const Part& part, Point local_mm);

}  // namespace demo_board
