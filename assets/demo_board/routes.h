// Copper between the lands. Nothing electrical is meant: the traces only have to look like a
// board, so lands are joined to near ones by a grid search (Lee's maze method, 1961) that keeps
// clear of everything laid before.
#pragma once
#include <vector>

#include "parts.h"

namespace demo_board {

struct Trace {
  Side side = Side::top;
  double width_mm = 0.2;
  std::vector<Point> path;
};

struct Copper {
  std::vector<Trace> traces;
  std::vector<Point> vias;
};

const Copper& copper();
inline constexpr double via_land_mm = 0.7;
inline constexpr double via_drill_mm = 0.32;

}  // namespace demo_board
