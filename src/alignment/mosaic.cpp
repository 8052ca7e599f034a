#include "alignment/mosaic.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "alignment/board_picture.h"

namespace boardlore {
namespace {

// Energy of the finest detail, averaged over the neighbourhood: what tells the sharper of two views.
cv::Mat detail_of(const cv::Mat& rgb, double reach_px) {
  cv::Mat grey, fine, energy;
  cv::cvtColor(rgb, grey, cv::COLOR_RGB2GRAY);
  cv::GaussianBlur(grey, grey, {}, 0.8);
  cv::Laplacian(grey, fine, CV_32F);
  cv::GaussianBlur(fine.mul(fine), energy, {}, reach_px);
  return energy;
}

}  // namespace

Result<Mosaic> join_photos(const std::vector<MosaicSource>& sources, const BoardRect& rect, double px_per_mm, Side side,
                           const std::stop_token& stop, const ProgressFn& progress) {
  const double pixels = rect.width_mm * rect.height_mm * px_per_mm * px_per_mm;
  if (!(pixels >= 1) || pixels > most_straight_pixels / 4)
    return Problem{"", "", "a picture of 1 to 30 million pixels", std::to_string(pixels / 1e6) + " million"};
  try {
    const double reach_px = std::clamp(1.5 * px_per_mm, 4.0, 40.0);
    cv::Mat sum, weight, best;
    std::vector<cv::Mat> weights;
    Mosaic mosaic;
    for (std::size_t i = 0; i < sources.size(); ++i) {
      if (stop.stop_requested()) return Problem{"", "", "a joined picture", kStopped, Outcome::finding};
      const Result<Raster> photo = sources[i].load();
      if (!photo) return photo.problem();
      const BoardPicture drawn = draw_on_board(colour_of(*photo), board_map_of(sources[i].registration), rect, px_per_mm);
      cv::Mat rgb;
      drawn.picture.convertTo(rgb, CV_32FC3);
      cv::Mat seen = drawn.valid.clone();
      cv::rectangle(seen, {0, 0}, {seen.cols - 1, seen.rows - 1}, 255);
      // Fades out towards the photo's edge, so that the seam has no step. The rectangle's own edge is no seam.
      cv::Mat inside;
      cv::distanceTransform(seen, inside, cv::DIST_L2, 3);
      cv::min(inside / (2 * reach_px), 1.0, inside);
      inside.setTo(0, drawn.valid == 0);
      cv::Mat detail = detail_of(drawn.picture, reach_px);
      cv::max(detail, 1e-3, detail);
      // A fourth power lets the sharper win clearly and still joins like with like smoothly.
      cv::pow(detail, 4, detail);
      cv::Mat mine = detail.mul(inside);
      if (sum.empty()) {
        sum = cv::Mat::zeros(rgb.size(), CV_32FC3);
        weight = cv::Mat::zeros(rgb.size(), CV_32F);
      } else {
        // Brightness evened out to what is there already, channel by channel.
        const cv::Mat both = (weight > 0) & (mine > 0);
        if (cv::countNonZero(both) > 200) {
          cv::Mat three, joined;
          cv::merge(std::vector<cv::Mat>{weight, weight, weight}, three);
          cv::divide(sum, three + 1e-20, joined);
          const cv::Scalar there = cv::mean(joined, both), here = cv::mean(rgb, both);
          for (int c = 0; c < 3; ++c)
            if (here[c] < 1) return Problem{"", "", "a photo that is not black", "a black one", Outcome::finding};
          cv::multiply(rgb, cv::Scalar(there[0] / here[0], there[1] / here[1], there[2] / here[2]), rgb);
        }
      }
      cv::Mat three;
      cv::merge(std::vector<cv::Mat>{mine, mine, mine}, three);
      sum += rgb.mul(three);
      weight += mine;
      weights.push_back(mine);
      if (progress) progress(static_cast<double>(i + 1) / static_cast<double>(sources.size()));
    }
    if (weight.empty() || cv::countNonZero(weight > 0) == 0)
      return Problem{"", "", "a registered photo of this side", "none that shows the board", Outcome::finding};
    cv::Mat three, joined;
    cv::merge(std::vector<cv::Mat>{weight, weight, weight}, three);
    cv::divide(sum, three + 1e-20, joined);
    joined.convertTo(joined, CV_8UC3);
    cv::Mat covered = weight > 0;
    const double covered_px = cv::countNonZero(covered);
    mosaic.covered = covered_px / static_cast<double>(covered.total());
    for (const cv::Mat& mine : weights) {
      cv::Mat share;
      cv::divide(mine, weight + 1e-20, share);
      mosaic.shares.push_back(cv::sum(share)[0] / covered_px);
    }
    if (side == Side::bottom) {
      cv::flip(joined, joined, 1);
      cv::flip(covered, covered, 1);
    }
    mosaic.picture = raster_of(joined);
    for (int y = 0; y < covered.rows; ++y)
      for (int x = 0; x < covered.cols; ++x)
        if (covered.at<uchar>(y, x) == 0) mosaic.picture.pixel(x, y)[3] = 0;
    return mosaic;
  } catch (const cv::Exception& error) {
    return Problem{"", "", "photos that can be joined", error.err, Outcome::system_failed};
  }
}

SharpnessMap sharpness_map(const Raster& photo, int cell_px) {
  SharpnessMap map;
  if (photo.empty() || cell_px < 4) return map;
  map.cell_px = cell_px;
  map.columns = (photo.width_px + cell_px - 1) / cell_px;
  map.rows = (photo.height_px + cell_px - 1) / cell_px;
  cv::Mat grey = grey_of(photo), soft, fine;
  cv::GaussianBlur(grey, soft, {}, 0.8);
  cv::Laplacian(soft, fine, CV_32F);
  float most = 1e-6F;
  for (int row = 0; row < map.rows; ++row)
    for (int column = 0; column < map.columns; ++column) {
      const cv::Rect cell = cv::Rect(column * cell_px, row * cell_px, cell_px, cell_px) & cv::Rect(0, 0, grey.cols, grey.rows);
      const cv::Mat part = fine(cell);
      map.values.push_back(static_cast<float>(std::sqrt(part.dot(part) / static_cast<double>(part.total()))));
      most = std::max(most, map.values.back());
    }
  for (float& value : map.values) value /= most;
  return map;
}

double usual_sharpness(const SharpnessMap& map) {
  if (map.values.empty()) return 0;
  std::vector<float> values = map.values;
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(values.size() * 9 / 10);
  std::nth_element(values.begin(), at, values.end());
  return 0.5 * *at;
}

std::vector<const Photo*> photos_to_join(const std::vector<JoinPhoto>& photos, bool in_job, Side side) {
  const auto fits = [&](const JoinPhoto& entry) { return entry.photo && entry.photo->registration && entry.photo->side == side; };
  const bool any_own = in_job && std::any_of(photos.begin(), photos.end(), [&](const JoinPhoto& entry) { return fits(entry) && entry.of_job; });
  std::vector<const Photo*> chosen;
  for (const JoinPhoto& entry : photos)
    if (fits(entry) && (!any_own || entry.of_job)) chosen.push_back(entry.photo);
  return chosen;
}

double joined_px_per_mm(const std::vector<const Photo*>& photos, const BoardRect& rect) {
  double finest = 1;
  for (const Photo* photo : photos) finest = std::max(finest, photo->registration->px_per_mm);
  return std::min(finest, std::sqrt(0.99 * most_straight_pixels / 4 / (rect.width_mm * rect.height_mm)));
}

}  // namespace boardlore
