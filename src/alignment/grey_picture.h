// A picture as OpenCV holds it, for this room only.
//
// OpenCV counts pixel centres from 0, the photo frame from 0.5 (domain/frames.h): every step between the
// two goes through the functions here, so that no half pixel gets lost.
#pragma once

#include <functional>
#include <opencv2/core.hpp>
#include <optional>

#include "domain/frames.h"
#include "pictures/raster.h"

namespace boardlore {

cv::Mat grey_of(const Raster& raster);    // CV_8U luminance (Rec. 601 weights)
cv::Mat colour_of(const Raster& raster);  // CV_8UC3, red green blue
Raster raster_of(const cv::Mat& rgb);     // from CV_8UC3, red green blue

inline cv::Point2d cv_of(PhotoPoint p) { return {p.x_px - 0.5, p.y_px - 0.5}; }
inline PhotoPoint photo_of(cv::Point2d p) { return {p.x + 0.5, p.y + 0.5}; }

// Reduced by area averaging to factor <= 1; the answer's true factors differ a little in x and y as sides are
// whole pixels.
struct Reduced {
  cv::Mat picture;
  double factor_x = 1, factor_y = 1;  // reduced pixels a full pixel

  PhotoPoint reduced(PhotoPoint full) const { return {full.x_px * factor_x, full.y_px * factor_y}; }
  PhotoPoint full(PhotoPoint reduced) const { return {reduced.x_px / factor_x, reduced.y_px / factor_y}; }
};
Reduced reduce(const cv::Mat& picture, double factor);

// The picture seen through a smooth map: target pixel (x, y) shows source_from_target of its centre, cubic
// interpolation. The map is worked out on every 16th pixel and interpolated. Where it leads out of the
// source, the pixel is black and `valid` (CV_8U) is 0 there.
using PlaceMap = std::function<std::optional<PhotoPoint>(PhotoPoint target)>;
cv::Mat warped(const cv::Mat& source, cv::Size target, const PlaceMap& source_from_target, cv::Mat& valid);

}  // namespace boardlore
