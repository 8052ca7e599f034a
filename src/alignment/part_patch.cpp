#include "alignment/part_patch.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "geometry/outline.h"
#include "judging/package_height.h"

namespace boardlore {
namespace {

double height_of(const Mark& mark, const PartBox& box) {
  if (mark.height_mm) return *mark.height_mm;
  const std::optional<double> highest = mark.package ? highest_body_mm(*mark.package) : std::nullopt;
  return std::min(box.short_side_mm(), highest.value_or(box.short_side_mm()));
}

}  // namespace

std::optional<PartBox> part_box(const Mark& mark) {
  PartBox box;
  box.rotation_deg = mark.rotation_deg;
  box.centre = mark.at;
  if (mark.package && mark.package->body_length_mm > 0 && mark.package->body_width_mm > 0) {
    box.half_x_mm = mark.package->body_length_mm / 2;
    box.half_y_mm = mark.package->body_width_mm / 2;
    box.height_mm = height_of(mark, box);
    return box;
  }
  if (mark.outline.size() >= 3) {
    double left = 1e18, right = -1e18, low = 1e18, high = -1e18;
    for (const Offset& corner : mark.outline) {
      left = std::min(left, corner.x_mm), right = std::max(right, corner.x_mm);
      low = std::min(low, corner.y_mm), high = std::max(high, corner.y_mm);
    }
    box.centre = placed(mark, {(left + right) / 2, (low + high) / 2});
    box.half_x_mm = (right - left) / 2;
    box.half_y_mm = (high - low) / 2;
  } else if (mark.radius_mm) {
    box.half_x_mm = box.half_y_mm = *mark.radius_mm;
  } else {
    const BoundingBox bounds = bounding_box(shape_of(mark));
    box.rotation_deg = 0;
    box.centre = {(bounds.low.x_mm + bounds.high.x_mm) / 2, (bounds.low.y_mm + bounds.high.y_mm) / 2};
    box.half_x_mm = (bounds.high.x_mm - bounds.low.x_mm) / 2;
    box.half_y_mm = (bounds.high.y_mm - bounds.low.y_mm) / 2;
  }
  if (!(box.half_x_mm > 0) || !(box.half_y_mm > 0)) return std::nullopt;
  box.height_mm = height_of(mark, box);
  return box;
}

cv::Mat part_patch(const BoardPicture& board, const PartBox& box, double margin_mm, Offset offset, double& seen) {
  const double turn = box.rotation_deg * std::numbers::pi / 180, c = std::cos(turn), s = std::sin(turn);
  const cv::Size size(std::max(3, cvRound(2 * (box.half_x_mm + margin_mm) * board.px_per_mm)),
                      std::max(3, cvRound(2 * (box.half_y_mm + margin_mm) * board.px_per_mm)));
  const cv::Point2d centre = board.pixel({box.centre.x_mm + offset.x_mm, box.centre.y_mm + offset.y_mm});
  // Patch pixel to board picture pixel: the picture's y runs down, the board's up.
  const double mx = (size.width - 1) / 2.0, my = (size.height - 1) / 2.0;
  const cv::Matx23d from_patch(c, s, centre.x - c * mx - s * my, -s, c, centre.y + s * mx - c * my);
  cv::Mat patch, valid;
  const int flags = cv::INTER_LINEAR | cv::WARP_INVERSE_MAP;
  cv::warpAffine(board.picture, patch, from_patch, size, flags, cv::BORDER_CONSTANT, cv::Scalar::all(0));
  cv::warpAffine(board.valid, valid, from_patch, size, cv::INTER_NEAREST | cv::WARP_INVERSE_MAP, cv::BORDER_CONSTANT, 0);
  seen = static_cast<double>(cv::countNonZero(valid)) / static_cast<double>(valid.total());
  return patch;
}

cv::Mat pattern_of(const cv::Mat& patch, double reach_px) {
  cv::Mat grey, slow;
  patch.convertTo(grey, CV_32F);
  cv::GaussianBlur(grey, grey, {}, 0.7);
  cv::GaussianBlur(grey, slow, {}, std::max(2.0, reach_px), 0, cv::BORDER_REPLICATE);
  return grey - slow;
}

double Reach::distance_mm(double shift_x_mm, double shift_y_mm) const {
  const double along_x = to.x_mm - from.x_mm, along_y = to.y_mm - from.y_mm, length2 = along_x * along_x + along_y * along_y;
  const double t = length2 > 0 ? std::clamp(((shift_x_mm - from.x_mm) * along_x + (shift_y_mm - from.y_mm) * along_y) / length2, 0.0, 1.0) : 0;
  return std::hypot(shift_x_mm - from.x_mm - t * along_x, shift_y_mm - from.y_mm - t * along_y);
}

Likeness likeness_of(const cv::Mat& pattern, const cv::Mat& wide, double px_per_mm, const Reach& reach) {
  Likeness likeness;
  if (pattern.cols > wide.cols || pattern.rows > wide.rows) return likeness;
  cv::Mat scores;
  cv::matchTemplate(wide, pattern, scores, cv::TM_CCOEFF_NORMED);
  const double middle_x = (scores.cols - 1) / 2.0, middle_y = (scores.rows - 1) / 2.0;
  if (reach.within_mm < 1e6)
    for (int y = 0; y < scores.rows; ++y)
      for (int x = 0; x < scores.cols; ++x)
        if (reach.distance_mm((x - middle_x) / px_per_mm, (middle_y - y) / px_per_mm) > reach.within_mm + 0.5 / px_per_mm) scores.at<float>(y, x) = -1;
  cv::Point at;
  cv::minMaxLoc(scores, nullptr, &likeness.score, nullptr, &at);
  if (!(likeness.score <= 1.001)) likeness.score = 0;  // a flat window
  likeness.shift_x_mm = (at.x - (wide.cols - pattern.cols) / 2.0) / px_per_mm;
  likeness.shift_y_mm = -(at.y - (wide.rows - pattern.rows) / 2.0) / px_per_mm;
  return likeness;
}

}  // namespace boardlore
