// Scale from a known distance: a connector's pitch, the spacing of two holes.
//
// A board found on the bench has no drawing. Until something gives millimetres, no length is shown; one known
// distance in one photo is enough for a start. The frame made so is provisional: the photo is taken as square
// on, so a slant stays in it until four points with known places replace it.
#pragma once

#include "domain/problem.h"
#include "geometry/photo_map.h"

namespace boardlore {

struct ScaleReport {
  Registration registration;      // a similarity, upright as the photo is
  double mm_per_px = 0;
  double relative_error = 0;      // of every length measured with it: the pick error of both ends over the distance
  double width_mm = 0, height_mm = 0;  // from the lower left to the upper right corner, where both were given
  std::vector<std::string> notes;
};

// The corners as the board is seen in this photo with its y up; lower_left becomes the origin (for a bottom
// photo the lower right corner seen there, which is the lower left seen from the top). Without corners the
// origin is the photo's lower left (bottom: lower right) corner.
struct BoardCorners {
  PhotoPoint origin, opposite;
};
Result<ScaleReport> scale_from_distance(PhotoPoint a, PhotoPoint b, double distance_mm, Side side, int width_px,
                                        int height_px, std::optional<BoardCorners> corners = std::nullopt);

// What all lengths of a board have to be multiplied with so that a to b measures `distance_mm`.
Result<double> scale_correction(const PhotoMap& map, PhotoPoint a, PhotoPoint b, double distance_mm);

}  // namespace boardlore
