// The board seen square-on, from any registered photo.
//
// Measuring by eye, comparing two photos and joining close-ups all want one view: millimetres along the
// picture's sides. A part's top still leans as the camera saw it; only the board's plane is straightened.
#pragma once

#include "domain/problem.h"
#include "domain/registration.h"
#include "pictures/raster.h"

namespace boardlore {

struct BoardRect {  // millimetres, board frame
  double left_mm = 0, low_mm = 0, width_mm = 0, height_mm = 0;
};

// The top with the board's y up; the bottom as one sees it turned over (x runs to the left). What the photo does
// not show is transparent (alpha 0). Refused: nothing of the rectangle is in the photo, or a size beyond
// `most_straight_pixels`.
Result<Raster> straightened(const Raster& photo, const Registration& registration, const BoardRect& rect, double px_per_mm,
                            Side side);

// How such a picture lies on the board: exact, but for the error of the registration it was made through, which it keeps.
Registration straight_registration(const BoardRect& rect, double px_per_mm, Side side, const Registration& made_through);

inline constexpr double most_straight_pixels = 120e6;

// Pixels a millimetre at which the photo loses nothing in the middle of the rectangle; 0: not in the photo.
double natural_px_per_mm(const Raster& photo, const Registration& registration, const BoardRect& rect);

}  // namespace boardlore
