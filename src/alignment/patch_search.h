// The same small patch of board in two photos, to a fraction of a pixel.
//
// A first map is good to a pixel or two of a reduced photo. The new photo is drawn through that map onto the
// reference, both reduced to the coarser of the two, and textured patches spread over what both show are
// found again nearby: normalised cross-correlation for the whole pixel (Lewis 1995), then Gauss-Newton steps
// on brightness, gain and offset let free (Lucas and Kanade 1981). A patch that looks the same a few pixels
// further on, as along a row of like pins, says nothing and is left out.
#pragma once

#include <stop_token>
#include <vector>

#include "alignment/grey_picture.h"

namespace boardlore {

struct PatchPair {
  PhotoPoint photo, reference;  // full-size pixels
  double likeness = 0;          // correlation, at most 1
};

struct PatchSearch {
  std::vector<PatchPair> found;
  int tried = 0;                // textured patches that both photos show by the first map
  double reference_px = 1;      // full reference pixels a pixel of the search
};

struct PatchSearchOptions {
  double detail = 1;            // 1: the coarser photo's own pixels; 0.5: half of that
  int reach_px = 5;             // of the search's pixels
  int half_size_px = 14;        // a patch is 2 half + 1 a side
  int most = 700;
  double least_likeness = 0.6;
};

PatchSearch search_patches(const cv::Mat& reference, const cv::Mat& photo, const PlaceMap& photo_from_reference,
                           const PlaceMap& reference_from_photo, const PatchSearchOptions& options,
                           const std::stop_token& stop);

}  // namespace boardlore
