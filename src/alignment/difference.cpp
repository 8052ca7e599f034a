#include "alignment/difference.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "alignment/surroundings.h"

namespace boardlore {
namespace {

// Orange of the published colour-blind-safe set by Okabe and Ito.
const cv::Vec3f glow(230, 159, 0);

}  // namespace

Result<DifferencePicture> difference_picture(const RegisteredPicture& before, const RegisteredPicture& after, const Board& board,
                                             Side side, double most_pixels, const std::stop_token& stop) {
  if (!board.width_mm || !board.height_mm || !(*board.width_mm > 0) || !(*board.height_mm > 0))
    return Problem{"", "/board/width_mm", "a board with its size in mm", "none", Outcome::finding};
  if (before.picture == nullptr || after.picture == nullptr || before.picture->empty() || after.picture->empty())
    return Problem{"", "", "two photos with pixels", "an empty one"};
  DifferencePicture result;
  result.place = {0, 0, *board.width_mm, *board.height_mm};
  const double natural = std::min(natural_px_per_mm(*before.picture, before.registration, result.place),
                                  natural_px_per_mm(*after.picture, after.registration, result.place));
  if (natural <= 0) return Problem{"", "", "two photos that show the board", "one that shows none of it", Outcome::finding};
  result.px_per_mm = std::min(natural, std::sqrt(most_pixels / (result.place.width_mm * result.place.height_mm)));
  try {
    const BoardPicture was = draw_on_board(colour_of(*before.picture), board_map_of(before.registration), result.place, result.px_per_mm);
    if (stop.stop_requested()) return Problem{"", "", "a difference", kStopped, Outcome::finding};
    const BoardPicture is = draw_on_board(colour_of(*after.picture), board_map_of(after.registration), result.place, result.px_per_mm);
    if (stop.stop_requested()) return Problem{"", "", "a difference", kStopped, Outcome::finding};
    const cv::Mat difference = local_difference(was, is);
    if (stop.stop_requested()) return Problem{"", "", "a difference", kStopped, Outcome::finding};
    const cv::Mat both = was.valid & is.valid;
    cv::Mat grey;
    cv::cvtColor(is.picture, grey, cv::COLOR_RGB2GRAY);
    cv::Mat rgb(grey.size(), CV_8UC3);
    for (int y = 0; y < rgb.rows; ++y)
      for (int x = 0; x < rgb.cols; ++x) {
        // Full glow from where a person sees a change; squared, so that grain stays dark.
        const float strength = std::clamp(difference.at<float>(y, x) / 0.75F, 0.0F, 1.0F), share = strength * strength;
        const float ground = 0.45F * grey.at<uchar>(y, x);
        for (int c = 0; c < 3; ++c) rgb.at<cv::Vec3b>(y, x)[c] = cv::saturate_cast<uchar>(ground * (1 - share) + glow[c] * share);
      }
    cv::Mat shown = both;
    if (side == Side::bottom) {
      cv::flip(rgb, rgb, 1);
      cv::flip(both, shown, 1);
    }
    result.picture = raster_of(rgb);
    for (int y = 0; y < shown.rows; ++y)
      for (int x = 0; x < shown.cols; ++x)
        if (shown.at<uchar>(y, x) == 0) result.picture.pixel(x, y)[3] = 0;
  } catch (const cv::Exception& error) {
    return Problem{"", "", "a difference of the two photos", error.err, Outcome::system_failed};
  }
  return result;
}

}  // namespace boardlore
