// Cuts a line into dashes, for canvases that know none.
//
// A keep-out around half the board is thousands of dashes when zoomed in; only those near the view are
// made, and the pattern still starts at the line's first point, so that it does not crawl while panning.
#pragma once

#include <vector>

#include "overlay/view.h"

namespace boardlore {

struct ScreenRect {
  double left = 0, top = 0, right = 0, bottom = 0;
};
struct Dash {
  ScreenPoint from, to;
};

// on, off: lengths in screen pixels, > 0. `closed`: the last point is joined to the first.
std::vector<Dash> dashes(const std::vector<ScreenPoint>& points, bool closed, double on, double off,
                         const ScreenRect& view);

}  // namespace boardlore
