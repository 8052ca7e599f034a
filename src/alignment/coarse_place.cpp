#include "alignment/coarse_place.h"

#include <algorithm>
#include <opencv2/calib3d.hpp>

namespace boardlore {
namespace {

using PhotoFromPhoto = Homography<PhotoPoint, PhotoPoint>;

// Consensus on the matches; `fits` says which agree. nullopt: none.
std::optional<PhotoFromPhoto> consensus(const FeatureSet& photo, const FeatureSet& reference,
                                        const std::vector<Match>& matches, double threshold_px,
                                        std::vector<uchar>& fits) {
  fits.assign(matches.size(), 0);
  if (matches.size() < 8) return std::nullopt;
  std::vector<cv::Point2f> from, to;
  for (const Match& match : matches) {
    const PhotoPoint a = photo.features[match.a].at, b = reference.features[match.b].at;
    from.emplace_back(static_cast<float>(a.x_px), static_cast<float>(a.y_px));
    to.emplace_back(static_cast<float>(b.x_px), static_cast<float>(b.y_px));
  }
  cv::Mat found;
  try {
    found = cv::findHomography(from, to, cv::USAC_MAGSAC, threshold_px, fits, 10000, 0.9999);
  } catch (const cv::Exception&) {
    return std::nullopt;
  }
  if (found.empty() || fits.size() != matches.size()) return std::nullopt;
  PhotoFromPhoto map;
  for (std::size_t i = 0; i < 9; ++i) map.rows[i] = found.at<double>(static_cast<int>(i / 3), static_cast<int>(i % 3));
  return map;
}

// Matches at different places: two directions of one feature count once.
int places_among(const FeatureSet& photo, const std::vector<Match>& matches, const std::vector<uchar>& fits) {
  std::vector<std::pair<long, long>> places;
  for (std::size_t i = 0; i < matches.size(); ++i)
    if (fits[i]) {
      const PhotoPoint at = photo.features[matches[i].a].at;
      places.emplace_back(std::lround(at.x_px / 4), std::lround(at.y_px / 4));
    }
  std::sort(places.begin(), places.end());
  return static_cast<int>(std::unique(places.begin(), places.end()) - places.begin());
}

}  // namespace

bool is_camera_like(const PhotoFromPhoto& map, int width_px, int height_px) {
  double least = 1e18, most = 0;
  for (int i = 0; i <= 2; ++i)
    for (int j = 0; j <= 2; ++j) {
      const PhotoPoint at{width_px * (0.1 + 0.4 * i), height_px * (0.1 + 0.4 * j)};
      const auto o = map(at), x = map({at.x_px + 1, at.y_px}), y = map({at.x_px, at.y_px + 1});
      if (!o || !x || !y) return false;
      const double xx = x->x_px - o->x_px, xy = x->y_px - o->y_px, yx = y->x_px - o->x_px, yy = y->y_px - o->y_px;
      const double det = xx * yy - xy * yx;
      if (det <= 0) return false;
      const double size = xx * xx + xy * xy + yx * yx + yy * yy;
      // A square seen at 70 degrees is squeezed to a third: size / det = 3.3. Beyond 6 nothing can be read.
      if (size > 6 * det) return false;
      least = std::min(least, std::sqrt(det)), most = std::max(most, std::sqrt(det));
    }
  return most < 6 * least && most < 20 && least > 0.02;
}

std::optional<CoarsePlace> coarse_place(const FeatureSet& photo, const FeatureSet& reference) {
  const std::vector<Match> matches =
      consistent_matches(photo, reference, match_features(photo, reference, 1.12));
  // Pixels of the reference a pixel of its reduced copy.
  const double reduced_px = static_cast<double>(std::max(reference.width_px, reference.height_px)) /
                            std::max(1, reference.searched_px);
  std::vector<uchar> fits;
  auto map = consensus(photo, reference, matches, 4 * reduced_px, fits);
  if (!map || !is_camera_like(*map, photo.width_px, photo.height_px)) return std::nullopt;
  CoarsePlace place{*map, places_among(photo, matches, fits), static_cast<int>(matches.size()), 0, 0};
  if (place.agreeing < 8) return std::nullopt;

  std::vector<Match> rest;
  for (std::size_t i = 0; i < matches.size(); ++i) {
    if (fits[i]) continue;
    const auto expected = (*map)(photo.features[matches[i].a].at);
    // What lies a little off (tall parts, a bent board) is no other place.
    if (expected && distance_px(*expected, reference.features[matches[i].b].at) > 25 * reduced_px)
      rest.push_back(matches[i]);
  }
  if (const auto other = consensus(photo, reference, rest, 4 * reduced_px, fits);
      other && is_camera_like(*other, photo.width_px, photo.height_px))
    place.rival = places_among(photo, rest, fits);

  // Now that the place is known each feature only has to be the likest near its place.
  const std::vector<Match> guided = guided_matches(photo, reference, *map, 8 * reduced_px);
  int on_reference = 0;
  for (const Feature& feature : photo.features) {
    const auto at = (*map)(feature.at);
    if (at && at->x_px > 0 && at->y_px > 0 && at->x_px < reference.width_px && at->y_px < reference.height_px)
      ++on_reference;
  }
  if (const auto better = consensus(photo, reference, guided, 3 * reduced_px, fits);
      better && is_camera_like(*better, photo.width_px, photo.height_px)) {
    const int agreeing = places_among(photo, guided, fits);
    if (agreeing >= place.agreeing) place.reference_from_photo = *better;
    place.share = on_reference > 0 ? static_cast<double>(std::count(fits.begin(), fits.end(), 1)) / on_reference : 0;
  }
  return place;
}

}  // namespace boardlore
