#include "alignment/surroundings.h"

#include <algorithm>
#include <numbers>
#include <opencv2/imgproc.hpp>

namespace boardlore {
namespace {

// Light evened out: each channel against its own average over some millimetres around.
cv::Mat evened(const cv::Mat& rgb, const cv::Mat& valid, double reach_px) {
  cv::Mat value, slow, weight;
  rgb.convertTo(value, CV_32FC3);
  cv::GaussianBlur(value, value, {}, 1.0);
  value.setTo(cv::Scalar::all(0), valid == 0);
  cv::Mat shown;
  valid.convertTo(shown, CV_32F, 1.0 / 255);
  const int side = 2 * cvRound(reach_px) + 1;
  cv::blur(value, slow, {side, side});
  cv::blur(shown, weight, {side, side});
  cv::Mat three;
  cv::merge(std::vector<cv::Mat>{weight, weight, weight}, three);
  cv::divide(slow, three + 1e-6, slow);
  cv::Mat ratio;
  cv::divide(value, slow + 12.0, ratio);  // + 12: dark places are not blown up
  return ratio;
}

// What alignment leaves over, and what stands up and is seen from another side.
int tolerated_px(double px_per_mm) { return std::max(1, cvRound(0.15 * px_per_mm)); }

}  // namespace

cv::Mat local_difference(const BoardPicture& before_rgb, const BoardPicture& after_rgb) {
  const double ppm = before_rgb.px_per_mm;
  const cv::Mat was = evened(before_rgb.picture, before_rgb.valid, 4 * ppm), is = evened(after_rgb.picture, after_rgb.valid, 4 * ppm);
  // What lies outside the range of its neighbourhood in the other picture, whichever way round.
  const int side = 2 * tolerated_px(ppm) + 1;
  const cv::Mat around = cv::Mat::ones(side, side, CV_8U);
  const auto beyond = [&](const cv::Mat& a, const cv::Mat& b) {
    cv::Mat high, low, over, under;
    cv::dilate(b, high, around);
    cv::erode(b, low, around);
    cv::max(a - high, 0.0, over);
    cv::max(low - a, 0.0, under);
    cv::Mat most = cv::max(over, under);
    std::vector<cv::Mat> channels;
    cv::split(most, channels);
    cv::Mat sum = channels[0] + channels[1] + channels[2];
    return sum;
  };
  return cv::max(beyond(is, was), beyond(was, is));
}

std::vector<SurroundingChange> changes_outside(const BoardPicture& before_rgb, const BoardPicture& after_rgb,
                                               const std::vector<PartBox>& parts, const std::vector<BoardPoint>& outline) {
  const double ppm = before_rgb.px_per_mm;
  cv::Mat considered = before_rgb.valid & after_rgb.valid;
  if (outline.size() >= 3) {
    cv::Mat inside = cv::Mat::zeros(considered.size(), CV_8U);
    std::vector<cv::Point> polygon;
    for (const BoardPoint& corner : outline) polygon.push_back(cv::Point(before_rgb.pixel(corner)));
    cv::fillPoly(inside, std::vector<std::vector<cv::Point>>{polygon}, 255);
    considered &= inside;
  }
  const int edge = std::max(1, cvRound(1.0 * ppm));
  cv::erode(considered, considered, cv::Mat::ones(2 * edge + 1, 2 * edge + 1, CV_8U), {-1, -1}, 1, cv::BORDER_CONSTANT,
            cv::Scalar::all(0));
  for (const PartBox& box : parts) {
    const double turn = box.rotation_deg * std::numbers::pi / 180;
    // A part leans and throws a shadow by up to about its own height.
    const double grow = 1.0 + std::clamp(box.height_mm, 0.5 * std::min(box.short_side_mm(), 8.0), 12.0);
    std::vector<cv::Point> corners;
    for (const auto& [sx, sy] : {std::pair{-1, -1}, std::pair{1, -1}, std::pair{1, 1}, std::pair{-1, 1}}) {
      const double x = sx * (box.half_x_mm + grow), y = sy * (box.half_y_mm + grow);
      corners.push_back(cv::Point(before_rgb.pixel({box.centre.x_mm + std::cos(turn) * x - std::sin(turn) * y,
                                                    box.centre.y_mm + std::sin(turn) * x + std::cos(turn) * y})));
    }
    cv::fillConvexPoly(considered, corners, 0);
  }
  const int shift = tolerated_px(ppm);
  const cv::Mat difference = local_difference(before_rgb, after_rgb);
  cv::Mat changed = difference > 0.75;  // a quarter of the local brightness in each channel
  changed &= considered;
  cv::morphologyEx(changed, changed, cv::MORPH_OPEN, cv::Mat::ones(3, 3, CV_8U));
  cv::morphologyEx(changed, changed, cv::MORPH_CLOSE, cv::Mat::ones(2 * shift + 1, 2 * shift + 1, CV_8U));
  cv::Mat labels, stats, centres;
  const int count = cv::connectedComponentsWithStats(changed, labels, stats, centres, 8);
  std::vector<SurroundingChange> changes;
  for (int i = 1; i < count; ++i) {
    const double area = stats.at<int>(i, cv::CC_STAT_AREA) / (ppm * ppm);
    if (area < 0.2) continue;
    const double left = stats.at<int>(i, cv::CC_STAT_LEFT) / ppm, top = stats.at<int>(i, cv::CC_STAT_TOP) / ppm;
    const double width = stats.at<int>(i, cv::CC_STAT_WIDTH) / ppm, height = stats.at<int>(i, cv::CC_STAT_HEIGHT) / ppm;
    changes.push_back({{before_rgb.rect.left_mm + left, before_rgb.rect.low_mm + before_rgb.rect.height_mm - top - height, width, height}, area});
  }
  std::stable_sort(changes.begin(), changes.end(),
                   [](const SurroundingChange& a, const SurroundingChange& b) { return a.area_mm2 > b.area_mm2; });
  if (changes.size() > 50) changes.resize(50);
  return changes;
}

}  // namespace boardlore
