// One mark cut out of its photo, with what lies over it: to be pasted into a message or kept as a picture.
#pragma once

#include "geometry/photo_map.h"
#include "overlay/overlay_scene.h"
#include "pictures/raster.h"

namespace boardlore {

// Small cuts are enlarged up to about this longer side, by whole numbers, so that pixels stay what they are.
constexpr int close_up_least_px = 320;

// The mark, chosen, with `margin_mm` around it, cut to the photo; turned as the photo is. Problem: the mark lies outside the photo.
Result<Raster> close_up(const Raster& photo, const PhotoMap& map, const BoardShapes& shapes, const Mark& mark, double margin_mm = 4);

}  // namespace boardlore
