// How far the tops of bodies lean between two photos of a board.
//
// From a camera over c at a distance z the top of a body of height h at p is seen displaced on the board's plane by about
// h (p - c) / z (similar triangles; h small against z). Between two photos it moves by h (a + b p), with the same a and b for
// every body: few parts whose height is known tell for all the others which way, and how far, lean may have moved them. What
// moved otherwise has moved.
#pragma once

#include <optional>
#include <vector>

#include "domain/mark.h"

namespace boardlore {

struct LeanSample {
  BoardPoint at;
  double height_mm = 0;
  Offset shift;  // seen in the later photo against the board around the body, mm along the board's axes
};

struct LeanField {
  double a_x = 0, a_y = 0;  // mm of shift for each mm of height, at `about`
  double b = 0;             // and for each mm away from it
  BoardPoint about;
  double spread_mm = 0;     // of the samples about it (median of absolute deviations, as a standard deviation)
  Offset at(BoardPoint place, double height_mm) const {
    return {height_mm * (a_x + b * (place.x_mm - about.x_mm)), height_mm * (a_y + b * (place.y_mm - about.y_mm))};
  }
};

// Robust: parts that moved, and those found in a wrong place, may be among the samples. nullopt: fewer than `least_lean_samples`
// of them agree, or not half of them.
inline constexpr std::size_t least_lean_samples = 6;
std::optional<LeanField> fit_lean(const std::vector<LeanSample>& samples);

}  // namespace boardlore
