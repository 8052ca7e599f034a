// Registration from picked points: how a photo lies on the board, and how far that can be trusted.
//
// Two points give a similarity (the side is known, so the mirror is), three an affine map, four and more a
// homography. The homography starts from the normalised direct linear transform (Hartley & Zisserman,
// Multiple View Geometry, 2nd ed., algorithm 4.2) and is then fitted by least squares to the residuals in
// mm on the board: that is what the answers are in, and it is the same for every direction on the board
// however the camera was held. Sets of points that cannot carry the answer are refused, not fitted.
#pragma once

#include "domain/problem.h"
#include "domain/registration.h"

namespace boardlore {

struct FitReport {
  Registration registration;                           // model, map, fiducials, mirrored, rms, leave-one-out, px per mm
  std::vector<double> residuals_mm;                    // one a point: where the map puts it, from where it is
  std::vector<std::optional<double>> leave_one_out_mm; // the same with the map of the other points; nullopt: none
  std::optional<std::size_t> spoiler_index;            // the one point that does not belong to the others
  std::vector<std::string> notes;                      // what a person should know: "2 points: similarity ..."
};

// Points are numbered from 1 in the order given where a Problem or a note speaks of them. Points given twice
// count once towards the model. With no point to spare residuals are 0 and say nothing about accuracy.
Result<FitReport> fit_registration(const std::vector<Fiducial>& fiducials, Side side);

// As above with one radial lens term about the picture's centre; wants 6 points and more.
Result<FitReport> fit_registration_with_lens(const std::vector<Fiducial>& fiducials, Side side, int width_px,
                                             int height_px);

// A point is named the spoiler where leaving it out would lower the squared residuals so far that chance does
// it less than once in a hundred photos (F test with 2 and 2n - 2 - p degrees of freedom, times n looks), and
// where it is off by more than this: nobody picks to the pixel.
constexpr double pick_error_px = 2.0;

// Parameters of the model: 8, 6 or 4.
std::size_t parameter_count(MapModel model);

}  // namespace boardlore
