// What differs between two photos, to be looked at: the later one in grey, differences glowing on it.
//
// Blinking shows a change where one happens to look; this shows where to look. Local light and colour are evened
// out and what merely leans is let through, as in compare.h, so that a shadow does not outshine a bridge.
#pragma once

#include <stop_token>

#include "alignment/compare.h"

namespace boardlore {

struct DifferencePicture {
  Raster picture;         // square-on as straighten.h draws it; alpha 0 where not both photos show the board
  BoardRect place;
  double px_per_mm = 0;
};

// At most `most_pixels` large. Refused as compare_photos is.
Result<DifferencePicture> difference_picture(const RegisteredPicture& before, const RegisteredPicture& after, const Board& board,
                                             Side side, double most_pixels = 4e6, const std::stop_token& stop = {});

}  // namespace boardlore
