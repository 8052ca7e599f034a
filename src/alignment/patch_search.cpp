#include "alignment/patch_search.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

namespace boardlore {
namespace {

// Photo pixels a reference pixel in the middle of what both show, and the part of the reference that is shown.
struct Overlap {
  double photo_px_per_reference_px = 0;
  cv::Rect2d reference;
};

std::optional<Overlap> overlap_of(const cv::Mat& reference, const cv::Mat& photo, const PlaceMap& photo_from_reference,
                                  const PlaceMap& reference_from_photo) {
  double left = 1e18, top = 1e18, right = -1e18, bottom = -1e18;
  constexpr int steps = 12;
  for (int i = 0; i <= steps; ++i)
    for (int j = 0; j <= steps; ++j) {
      const auto at = reference_from_photo({photo.cols * i / double{steps}, photo.rows * j / double{steps}});
      if (!at) continue;
      left = std::min(left, at->x_px), right = std::max(right, at->x_px);
      top = std::min(top, at->y_px), bottom = std::max(bottom, at->y_px);
    }
  left = std::clamp(left, 0.0, double(reference.cols)), right = std::clamp(right, 0.0, double(reference.cols));
  top = std::clamp(top, 0.0, double(reference.rows)), bottom = std::clamp(bottom, 0.0, double(reference.rows));
  if (right - left < 8 || bottom - top < 8) return std::nullopt;
  Overlap overlap{0, {left, top, right - left, bottom - top}};
  std::vector<double> scales;
  for (int i = 1; i < 8; ++i)
    for (int j = 1; j < 8; ++j) {
      const PhotoPoint at{left + (right - left) * i / 8, top + (bottom - top) * j / 8};
      const auto o = photo_from_reference(at);
      const auto x = photo_from_reference({at.x_px + 1, at.y_px}), y = photo_from_reference({at.x_px, at.y_px + 1});
      if (!o || !x || !y || o->x_px < 0 || o->y_px < 0 || o->x_px > photo.cols || o->y_px > photo.rows) continue;
      const double det = (x->x_px - o->x_px) * (y->y_px - o->y_px) - (x->y_px - o->y_px) * (y->x_px - o->x_px);
      scales.push_back(std::sqrt(std::fabs(det)));
    }
  if (scales.size() < 3) return std::nullopt;
  std::nth_element(scales.begin(), scales.begin() + static_cast<std::ptrdiff_t>(scales.size() / 2), scales.end());
  overlap.photo_px_per_reference_px = scales[scales.size() / 2];
  return overlap;
}

// Best textured place in each cell of a grid, none so close to the border that the search would leave it.
std::vector<cv::Point> textured_places(const cv::Mat& picture, const cv::Mat& usable, int most) {
  cv::Mat strength;
  cv::cornerMinEigenVal(picture, strength, 9, 3);
  strength.setTo(0, usable == 0);
  const double area = cv::countNonZero(usable);
  if (area < 1) return {};
  const int cell = std::max(10, static_cast<int>(std::sqrt(area / most)));
  struct Place {
    float strength;
    cv::Point at;
  };
  std::vector<Place> places;
  for (int y = 0; y < picture.rows; y += cell)
    for (int x = 0; x < picture.cols; x += cell) {
      const cv::Rect box(x, y, std::min(cell, picture.cols - x), std::min(cell, picture.rows - y));
      double best = 0;
      cv::Point at;
      cv::minMaxLoc(strength(box), nullptr, &best, nullptr, &at);
      if (best > 0) places.push_back({static_cast<float>(best), at + box.tl()});
    }
  // Textured: clear of flat solder mask with noise on it. Common practice, no source: a hundredth of what the
  // better places have.
  if (places.empty()) return {};
  std::vector<float> sorted;
  for (const Place& p : places) sorted.push_back(p.strength);
  const auto nth = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() * 9 / 10);
  std::nth_element(sorted.begin(), nth, sorted.end());
  const float least = 0.01F * *nth;
  std::vector<cv::Point> chosen;
  for (const Place& p : places)
    if (p.strength > least) chosen.push_back(p.at);
  return chosen;
}

// Brings mean and length to 0 and 1. False: flat.
bool normalise(cv::Mat& patch) {
  cv::Scalar mean, deviation;
  cv::meanStdDev(patch, mean, deviation);
  if (deviation[0] < 1.0) return false;
  patch = (patch - mean[0]) / (deviation[0] * std::sqrt(static_cast<double>(patch.total())));
  return true;
}

// Gauss-Newton on place, from a start good to half a pixel. nullopt: it ran away.
std::optional<cv::Point2f> exact_place(const cv::Mat& fixed, cv::Point centre, const cv::Mat& moving, cv::Point2f start,
                                       int half) {
  const cv::Size size(2 * half + 1, 2 * half + 1);
  const cv::Rect box(centre.x - half, centre.y - half, size.width, size.height);
  cv::Mat pattern = fixed(box).clone(), gx, gy, seen;
  if (!normalise(pattern)) return std::nullopt;
  cv::Sobel(pattern, gx, CV_32F, 1, 0, 3, 1.0 / 8, 0, cv::BORDER_REPLICATE);
  cv::Sobel(pattern, gy, CV_32F, 0, 1, 3, 1.0 / 8, 0, cv::BORDER_REPLICATE);
  const double xx = gx.dot(gx), xy = gx.dot(gy), yy = gy.dot(gy), det = xx * yy - xy * xy;
  if (det < 1e-9 * (xx + yy) * (xx + yy) || det <= 0) return std::nullopt;
  cv::Point2f at = start;
  for (int round = 0; round < 6; ++round) {
    cv::getRectSubPix(moving, size, at, seen);
    if (!normalise(seen)) return std::nullopt;
    const cv::Mat rest = pattern - seen;
    const double bx = gx.dot(rest), by = gy.dot(rest);
    const cv::Point2f step(static_cast<float>((yy * bx - xy * by) / det), static_cast<float>((xx * by - xy * bx) / det));
    at += step;
    if (std::hypot(at.x - start.x, at.y - start.y) > 1.5F) return std::nullopt;
    if (std::hypot(step.x, step.y) < 0.003F) break;
  }
  return at;
}

}  // namespace

PatchSearch search_patches(const cv::Mat& reference, const cv::Mat& photo, const PlaceMap& photo_from_reference,
                           const PlaceMap& reference_from_photo, const PatchSearchOptions& options,
                           const std::stop_token& stop) {
  PatchSearch search;
  const auto overlap = overlap_of(reference, photo, photo_from_reference, reference_from_photo);
  if (!overlap || overlap->photo_px_per_reference_px <= 1e-3) return search;
  const double scale = overlap->photo_px_per_reference_px;
  double reference_factor = std::min(1.0, scale) * options.detail;
  // A bound on memory and time: the search never looks at more than this many pixels.
  const double most_px = 12e6;
  const double area = overlap->reference.area() * reference_factor * reference_factor;
  if (area > most_px) reference_factor *= std::sqrt(most_px / area);

  const cv::Rect shown = cv::Rect(overlap->reference) & cv::Rect(0, 0, reference.cols, reference.rows);
  const Reduced fixed = reduce(reference(shown), reference_factor);
  const Reduced moving = reduce(photo, std::min(1.0, reference_factor / scale));
  search.reference_px = 1 / fixed.factor_x;
  const auto full_reference = [&](PhotoPoint work) {
    const PhotoPoint p = fixed.full(work);
    return PhotoPoint{p.x_px + shown.x, p.y_px + shown.y};
  };
  const PlaceMap moving_from_work = [&](PhotoPoint work) -> std::optional<PhotoPoint> {
    const auto p = photo_from_reference(full_reference(work));
    if (!p) return std::nullopt;
    return moving.reduced(*p);
  };
  cv::Mat valid;
  cv::Mat drawn = warped(moving.picture, fixed.picture.size(), moving_from_work, valid);
  cv::Mat fixed_soft, drawn_soft;
  // Softened a little: keeps the interpolation of the sub-pixel steps honest.
  cv::GaussianBlur(fixed.picture, fixed_soft, {}, 0.7);
  cv::GaussianBlur(drawn, drawn_soft, {}, 0.7);
  fixed_soft.convertTo(fixed_soft, CV_32F);
  drawn_soft.convertTo(drawn_soft, CV_32F);

  const int half = options.half_size_px, margin = half + options.reach_px + 2;
  if (fixed_soft.cols <= 2 * margin + 2 || fixed_soft.rows <= 2 * margin + 2) return search;
  cv::Mat usable;
  cv::erode(valid, usable, cv::getStructuringElement(cv::MORPH_RECT, cv::Size(2 * margin + 1, 2 * margin + 1)), {-1, -1},
            1, cv::BORDER_CONSTANT, cv::Scalar::all(0));
  const std::vector<cv::Point> places = textured_places(fixed_soft, usable, options.most);
  search.tried = static_cast<int>(places.size());
  cv::Mat scores;
  for (const cv::Point& centre : places) {
    if (stop.stop_requested()) return search;
    const cv::Rect patch(centre.x - half, centre.y - half, 2 * half + 1, 2 * half + 1);
    const int reach = options.reach_px;
    const cv::Rect window(patch.x - reach, patch.y - reach, patch.width + 2 * reach, patch.height + 2 * reach);
    cv::matchTemplate(drawn_soft(window), fixed_soft(patch), scores, cv::TM_CCOEFF_NORMED);
    double best = 0;
    cv::Point at;
    cv::minMaxLoc(scores, nullptr, &best, nullptr, &at);
    if (!(best > options.least_likeness) || !(best <= 1.001)) continue;
    if (at.x == 0 || at.y == 0 || at.x == scores.cols - 1 || at.y == scores.rows - 1) continue;
    // The next best place apart from the peak's own slope.
    double next = -1;
    for (int y = 0; y < scores.rows; ++y)
      for (int x = 0; x < scores.cols; ++x)
        if (std::abs(x - at.x) > 3 || std::abs(y - at.y) > 3) next = std::max(next, double{scores.at<float>(y, x)});
    if (next > 0.92 * best) continue;
    const cv::Point2f start(static_cast<float>(centre.x + at.x - reach), static_cast<float>(centre.y + at.y - reach));
    const auto exact = exact_place(fixed_soft, centre, drawn_soft, start, half);
    if (!exact) continue;
    const PhotoPoint there{exact->x + 0.5, exact->y + 0.5};
    const auto in_photo = photo_from_reference(full_reference(there));
    if (!in_photo) continue;
    search.found.push_back({*in_photo, full_reference({centre.x + 0.5, centre.y + 0.5}), best});
  }
  return search;
}

}  // namespace boardlore
