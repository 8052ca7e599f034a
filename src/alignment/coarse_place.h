// The first guess: which map brings one reduced photo onto another, and is it the only one.
#pragma once

#include <optional>

#include "alignment/features.h"

namespace boardlore {

struct CoarsePlace {
  Homography<PhotoPoint, PhotoPoint> reference_from_photo;  // full-size pixels
  int agreeing = 0;         // consistent matches that fit it
  int consistent = 0;       // consistent matches in all
  int rival = 0;            // consistent matches that fit the best map which is not this one
  double share = 0;         // of the photo's features that lie on the reference, those found again there
};

// nullopt: no map that eight matches agree on, or one that no camera could make (mirrored, folded over,
// stretched beyond reason).
std::optional<CoarsePlace> coarse_place(const FeatureSet& photo, const FeatureSet& reference);

// Whether the map keeps turning sense and stays within what a hand-held camera does, over a photo of this size.
bool is_camera_like(const Homography<PhotoPoint, PhotoPoint>& map, int width_px, int height_px);

}  // namespace boardlore
