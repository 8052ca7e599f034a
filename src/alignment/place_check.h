// Does the photo as a whole fit here clearly better than elsewhere on the reference?
//
// Rows of like parts fit one pitch further on almost as well, each taken alone. The picture's edges as a
// whole do so only where everything seen repeats; then nobody can tell the place, and it must be said.
#pragma once

#include "alignment/grey_picture.h"

namespace boardlore {

struct PlaceCheck {
  double here = 0;       // correlation of the edge pictures at the found place
  double elsewhere = 0;  // best correlation at any other shift
  // 1: fits nowhere else at all; 0: another place fits as well.
  double margin() const { return here <= 0 ? 0 : 1 - elsewhere / here; }
};

PlaceCheck check_place(const cv::Mat& reference, const cv::Mat& photo, const PlaceMap& photo_from_reference);

}  // namespace boardlore
