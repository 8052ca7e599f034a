#include "alignment/mosaic.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "alignment/board_picture.h"

namespace boardlore {
namespace {

// Energy of detail by which another photo must be ahead to take a place over: a tenth in blur.
constexpr double clearly_sharper = 1.25;

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
    const double reach_px = std::clamp(1.5 * px_per_mm, 4.0, 40.0), seam_px = std::clamp(0.3 * px_per_mm, 1.5, 12.0);
    cv::Mat joined, best, winner;  // RGB; worth of what is there, 0: nothing yet; which source it is from
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
      // Worth less towards the photo's edge, so that a seam lies inside of both. The rectangle's own edge is no seam.
      cv::Mat inside;
      cv::distanceTransform(seen, inside, cv::DIST_L2, 3);
      cv::min(inside / (2 * reach_px), 1.0, inside);
      inside.setTo(0, drawn.valid == 0);
      cv::Mat worth = detail_of(drawn.picture, reach_px);
      cv::max(worth, 1e-3, worth);
      worth = worth.mul(inside);
      if (joined.empty()) {
        joined = rgb;
        best = worth;
        winner = cv::Mat(rgb.size(), CV_8U, cv::Scalar(0));
      } else {
        // Brightness evened out to what is there already, channel by channel.
        const cv::Mat there_mask = best > 0, both = there_mask & (worth > 0);
        if (cv::countNonZero(both) > 200) {
          const cv::Scalar there = cv::mean(joined, both), here = cv::mean(rgb, both);
          for (int c = 0; c < 3; ++c)
            if (here[c] < 1) return Problem{"", "", "a photo that is not black", "a black one", Outcome::finding};
          cv::multiply(rgb, cv::Scalar(there[0] / here[0], there[1] / here[1], there[2] / here[2]), rgb);
        }
        // One source a place, never a mean of two: what stands up leans differently in each, and a mean shows it
        // twice. A source that is only as sharp as what is there does not break it up.
        const cv::Mat wins = worth > clearly_sharper * best;
        cv::Mat soft;
        wins.convertTo(soft, CV_32F, 1 / 255.0);
        cv::GaussianBlur(soft, soft, {}, seam_px);
        soft.setTo(0, worth <= 0);
        soft.setTo(1, (best <= 0) & (worth > 0));
        cv::Mat three;
        cv::merge(std::vector<cv::Mat>{soft, soft, soft}, three);
        joined += (rgb - joined).mul(three);
        worth.copyTo(best, wins);
        winner.setTo(static_cast<double>(std::min<std::size_t>(i, 255)), wins);
      }
      if (progress) progress(static_cast<double>(i + 1) / static_cast<double>(sources.size()));
    }
    const cv::Mat seen_at_all = joined.empty() ? cv::Mat() : cv::Mat(best > 0);
    if (joined.empty() || cv::countNonZero(seen_at_all) == 0)
      return Problem{"", "", "a registered photo of this side", "none that shows the board", Outcome::finding};
    joined.convertTo(joined, CV_8UC3);
    cv::Mat covered = seen_at_all.clone();
    const double covered_px = cv::countNonZero(covered);
    mosaic.covered = covered_px / static_cast<double>(covered.total());
    for (std::size_t i = 0; i < sources.size(); ++i)
      mosaic.shares.push_back(cv::countNonZero((winner == static_cast<double>(std::min<std::size_t>(i, 255))) & covered) / covered_px);
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
