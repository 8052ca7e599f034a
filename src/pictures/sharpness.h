// Is the photo sharp where it matters: can the pin-1 mark be seen before the part is lifted?
//
// Focus measure: the variance of the Laplacian (kernel 0 1 0 / 1 -4 1 / 0 1 0) of luminance, known as LAPV,
// e.g. in S. Pertuz, D. Puig, M. A. Garcia, "Analysis of focus measure operators for shape-from-focus",
// Pattern Recognition 46 (2013) 1415 (from memory). Ours differs: it is divided by the region's own variance
// of luminance (0 to 255) plus 100, so that a dim part is not called blurred, nor the noise on an even one
// sharp; a plain slope gives 0, a fine black and white checkerboard about 64.
#pragma once

#include "domain/frames.h"
#include "pictures/raster.h"

namespace boardlore {

// `lo` and `hi` are opposite corners in the photo frame, in any order, clipped to the picture. Needs 3x3
// pixels; less, or a region of one grey, gives 0. No unit; compare photos at the same scale only.
double focus_measure(const Raster& raster, PhotoPoint lo, PhotoPoint hi);

}  // namespace boardlore
