#include "alignment/place_check.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

namespace boardlore {
namespace {

// Strength of edges, bounded so that glare does not outweigh everything else.
cv::Mat edges_of(const cv::Mat& grey) {
  cv::Mat soft, gx, gy, strength;
  cv::GaussianBlur(grey, soft, {}, 1.0);
  cv::Sobel(soft, gx, CV_32F, 1, 0);
  cv::Sobel(soft, gy, CV_32F, 0, 1);
  cv::magnitude(gx, gy, strength);
  cv::Scalar mean = cv::mean(strength);
  cv::min(strength, 4 * mean[0] + 1e-3, strength);
  return strength;
}

}  // namespace

PlaceCheck check_place(const cv::Mat& reference, const cv::Mat& photo, const PlaceMap& photo_from_reference) {
  PlaceCheck check;
  // What the photo shows of the reference, found on a sketch of it.
  constexpr int sketch_px = 480;
  Reduced whole = reduce(reference, static_cast<double>(sketch_px) / std::max(reference.cols, reference.rows));
  const auto shown_through = [&](const Reduced& fixed, cv::Point offset, const Reduced& moving) -> PlaceMap {
    return [&fixed, offset, &moving, &photo_from_reference](PhotoPoint p) -> std::optional<PhotoPoint> {
      const auto at = photo_from_reference(fixed.full({p.x_px + offset.x, p.y_px + offset.y}));
      if (!at) return std::nullopt;
      return moving.reduced(*at);
    };
  };
  const auto reduced_photo = [&](const Reduced& fixed) {
    // Photo pixels a sketch pixel, from the middle of the map.
    double scale = 0;
    for (int i = 1; i < 12; ++i)
      for (int j = 1; j < 12; ++j) {
        const PhotoPoint full{reference.cols * i / 12.0, reference.rows * j / 12.0};
        const auto a = photo_from_reference(full), b = photo_from_reference({full.x_px + 1 / fixed.factor_x, full.y_px});
        if (!a || !b || a->x_px < 0 || a->y_px < 0 || a->x_px > photo.cols || a->y_px > photo.rows) continue;
        scale = std::max(scale, distance_px(*a, *b));
      }
    return reduce(photo, scale > 1 ? 1 / scale : 1.0);
  };
  Reduced moving = reduced_photo(whole);
  cv::Mat valid;
  cv::Mat drawn = warped(moving.picture, whole.picture.size(), shown_through(whole, {0, 0}, moving), valid);
  cv::Rect shown = cv::boundingRect(valid);
  if (shown.width < 4 || shown.height < 4) return check;
  if (std::max(shown.width, shown.height) < sketch_px / 3) {
    // A close-up: sketch its surroundings more finely.
    const double factor = std::min(1.0, whole.factor_x * (sketch_px / 2.0) / std::max(shown.width, shown.height));
    whole = reduce(reference, factor);
    moving = reduced_photo(whole);
    drawn = warped(moving.picture, whole.picture.size(), shown_through(whole, {0, 0}, moving), valid);
    shown = cv::boundingRect(valid);
    if (shown.width < 4 || shown.height < 4) return check;
  }
  cv::Mat inner;
  cv::erode(valid, inner, cv::Mat::ones(5, 5, CV_8U), {-1, -1}, 1, cv::BORDER_CONSTANT, cv::Scalar::all(0));
  cv::Mat pattern = edges_of(drawn)(shown).clone();
  const cv::Mat mask = inner(shown);
  if (cv::countNonZero(mask) < 100) return check;
  // Zero mean under the mask and zero outside: what is not seen then has no say.
  pattern -= cv::mean(pattern, mask)[0];
  pattern.setTo(0, mask == 0);
  cv::Mat edges = edges_of(whole.picture);
  edges -= cv::mean(edges)[0];
  const int pad_x = shown.width / 2, pad_y = shown.height / 2;
  cv::Mat padded;
  cv::copyMakeBorder(edges, padded, pad_y, pad_y, pad_x, pad_x, cv::BORDER_CONSTANT, cv::Scalar::all(0));
  cv::Mat product, energy;
  cv::matchTemplate(padded, pattern, product, cv::TM_CCORR);
  cv::Mat weight;
  mask.convertTo(weight, CV_32F, 1.0 / 255);
  cv::matchTemplate(padded.mul(padded), weight, energy, cv::TM_CCORR);
  // Where little of the reference lies under the pattern, its energy is not let fall below half of that here.
  const cv::Point place(shown.x + pad_x, shown.y + pad_y);
  const float here_energy = energy.at<float>(place);
  cv::max(energy, 0.5F * here_energy, energy);
  const double pattern_length = std::sqrt(pattern.dot(pattern));
  cv::sqrt(energy, energy);
  cv::Mat scores = product / (energy * std::max(pattern_length, 1e-9));
  const int around = 4;
  for (int y = 0; y < scores.rows; ++y)
    for (int x = 0; x < scores.cols; ++x) {
      const double score = scores.at<float>(y, x);
      if (std::abs(x - place.x) <= around && std::abs(y - place.y) <= around)
        check.here = std::max(check.here, score);
      else
        check.elsewhere = std::max(check.elsewhere, score);
    }
  return check;
}

}  // namespace boardlore
