// A package placed by clicking pads: where it sits, how it is turned, and whether its pitch fits.
//
// Two pads far apart fix place and turn far better than a drawn box does. Least squares over all clicked pads;
// the scale they ask for is not applied but compared, so that a wrong package is noticed while placing it.
#pragma once

#include "domain/mark.h"
#include "domain/problem.h"

namespace boardlore {

struct ClickedPad {
  std::string pin;
  BoardPoint at;
};

struct PlacedPackage {
  BoardPoint at;
  double rotation_deg = 0;                        // [0, 360), counter-clockwise seen from the top
  std::optional<double> square_rotation_deg;      // the multiple of 90 that lies within the clicks' error
  double pitch_seen_mm = 0;                       // the pitch at which the package would fit the clicks
  double rms_mm = 0;                              // of the clicks about the package as placed
  bool pitch_fits = true;
  std::vector<std::string> notes;                 // "the clicked pads fit a pitch of 0.4 mm, not 0.5 mm"
};

// Refused: fewer than two pads, a pin the package does not have, pads on one spot. click_error_mm: how exactly a
// pad was hit (2 px of the photo in mm).
Result<PlacedPackage> package_from_pads(const Package& package, Side side, const std::vector<ClickedPad>& pads,
                                        double click_error_mm);
inline Result<PlacedPackage> package_from_two_pads(const Package& package, Side side, const ClickedPad& one,
                                                   const ClickedPad& other, double click_error_mm) {
  return package_from_pads(package, side, {one, other}, click_error_mm);
}
// The two pins to click: pin 1 and the one farthest from it.
Result<std::array<std::string, 2>> pads_to_click(const Package& package);

}  // namespace boardlore
