// The eight Exif orientations: from the pixels as the sensor stored them to the photo as it is seen.
//
// Everything on the board is placed on the upright photo, so a wrong turn puts every mark wrong; four of
// the eight mirror the picture, which turns pin order round. Source: CIPA DC-008 (Exif), Orientation,
// tag 0x0112: the place of the 0th row and the 0th column. Missing, 0 and above 8 count as 1.
#pragma once

#include "pictures/raster.h"

namespace boardlore {

// 1 to 8.
int sane_orientation(long long tag_value);
// 2, 4, 5, 7.
bool orientation_mirrors(int orientation);
// 5 to 8: width and height change places.
bool orientation_swaps_sides(int orientation);

// Takes rows as they are stored, from the top, a few at a time, and lays each pixel where it is seen, so
// that a turned photo needs no second copy in memory.
class UprightWriter {
 public:
  // Sizes as stored; checked by the caller against the limits.
  UprightWriter(int stored_width_px, int stored_height_px, int orientation);
  // `rows` holds `count` whole rows of RGBA. More rows than the picture has are ignored.
  void add_rows(const std::uint8_t* rows, int count);
  int rows_added() const { return next_row_; }
  // The upright picture; rows that were never added are zero.
  Raster take() &&;

 private:
  int stored_width_px_, stored_height_px_, orientation_;
  int next_row_ = 0;
  Raster upright_;
};

// The same for a whole picture.
Raster upright(Raster stored, int orientation);

}  // namespace boardlore
