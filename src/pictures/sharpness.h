// Is the photo sharp where it matters: can the pin-1 mark be seen before the part is lifted?
//
// An edge blurred over b keeps an energy of its gradient that falls as 1 / sqrt(b^2 + s^2) when it is looked at
// through a Gaussian of s (by integrating the square of a Gaussian). So the ratio of the energies at a fine and at a
// coarser scale tells b, whatever the edge's contrast and the light: from 1 where nothing is finer than the
// coarse scale to coarse / fine (2.14) for a perfect edge; lines and print, finer than edges, give more. Both scales
// are in millimetres on the board, so that photos of any resolution are held to the same measure. The grain's part of
// each energy is worked out from the finest detail (median deviation of J. Immerkaer's kernel 1 -2 1 / -2 4 -2 / 1 -2 1,
// "Fast noise variance estimation", Computer Vision and Image Understanding 64 (1996) 300, from memory) and taken
// off: noise is no sharpness. Across and down are looked at apart and the worse counts, so that a shaken photo is not
// sharp.
// An aid, not a proof: how the numbers lie on photos blurred by known amounts is in
// tests/unit/judging_focus_threshold_test.cpp.
#pragma once

#include "domain/frames.h"
#include "pictures/raster.h"

namespace boardlore {

constexpr double focus_fine_mm = 0.07, focus_coarse_mm = 0.15;

// `lo` and `hi` are opposite corners in the photo frame, in any order, clipped to the picture. 0: nothing to judge by
// (less than 5 pixels either way, an even surface, nothing that stands out of the grain, no scale).
double focus_measure(const Raster& raster, PhotoPoint lo, PhotoPoint hi, double px_per_mm);

}  // namespace boardlore
