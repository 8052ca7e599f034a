#include "alignment/straighten.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "alignment/board_picture.h"

namespace boardlore {

double photo_px_per_mm(const BoardMap& map, BoardPoint at) {
  const auto o = map.photo(at), x = map.photo({at.x_mm + 0.1, at.y_mm}), y = map.photo({at.x_mm, at.y_mm + 0.1});
  if (!o || !x || !y) return 0;
  const double det = (x->x_px - o->x_px) * (y->y_px - o->y_px) - (x->y_px - o->y_px) * (y->x_px - o->x_px);
  return 10 * std::sqrt(std::fabs(det));
}

BoardPicture draw_on_board(const cv::Mat& photo, const BoardMap& map, const BoardRect& rect, double px_per_mm) {
  BoardPicture drawn;
  drawn.rect = rect;
  drawn.px_per_mm = px_per_mm;
  const cv::Size size(std::max(1, cvRound(rect.width_mm * px_per_mm)), std::max(1, cvRound(rect.height_mm * px_per_mm)));
  // Reduced first where the photo is much finer than what is asked for.
  const double density = photo_px_per_mm(map, {rect.left_mm + rect.width_mm / 2, rect.low_mm + rect.height_mm / 2});
  const Reduced source = reduce(photo, density > 1.4 * px_per_mm ? px_per_mm / density : 1.0);
  drawn.picture = warped(source.picture, size,
                         [&](PhotoPoint target) -> std::optional<PhotoPoint> {
                           const auto at = map.photo(drawn.board({target.x_px - 0.5, target.y_px - 0.5}));
                           if (!at) return std::nullopt;
                           return source.reduced(*at);
                         },
                         drawn.valid);
  return drawn;
}

double natural_px_per_mm(const Raster& photo, const Registration& registration, const BoardRect& rect) {
  const BoardMap map = board_map_of(registration);
  double best = 0;
  for (int i = 1; i < 12; ++i)
    for (int j = 1; j < 12; ++j) {
      const BoardPoint at{rect.left_mm + rect.width_mm * i / 12, rect.low_mm + rect.height_mm * j / 12};
      const auto seen = map.photo(at);
      if (seen && seen->x_px > 0 && seen->y_px > 0 && seen->x_px < photo.width_px && seen->y_px < photo.height_px)
        best = std::max(best, photo_px_per_mm(map, at));
    }
  return best;
}

Result<Raster> straightened(const Raster& photo, const Registration& registration, const BoardRect& rect, double px_per_mm,
                            Side side) {
  if (photo.empty()) return Problem{"", "", "a photo with pixels", "an empty one"};
  const double pixels = rect.width_mm * rect.height_mm * px_per_mm * px_per_mm;
  if (!(pixels >= 1) || pixels > most_straight_pixels)
    return Problem{"", "", "a picture of 1 to 120 million pixels", std::to_string(pixels / 1e6) + " million"};
  try {
    BoardPicture drawn = draw_on_board(colour_of(photo), board_map_of(registration), rect, px_per_mm);
    if (cv::countNonZero(drawn.valid) == 0)
      return Problem{"", "", "a photo that shows this part of the board", "none of it in the photo", Outcome::finding};
    if (side == Side::bottom) {
      cv::flip(drawn.picture, drawn.picture, 1);
      cv::flip(drawn.valid, drawn.valid, 1);
    }
    Raster raster = raster_of(drawn.picture);
    for (int y = 0; y < raster.height_px; ++y)
      for (int x = 0; x < raster.width_px; ++x)
        if (drawn.valid.at<uchar>(y, x) == 0) raster.pixel(x, y)[3] = 0;
    return raster;
  } catch (const cv::Exception& error) {
    return Problem{"", "", "a picture that can be straightened", error.err, Outcome::system_failed};
  }
}

Registration straight_registration(const BoardRect& rect, double px_per_mm, Side side, const Registration& made_through) {
  Registration straight;
  straight.model = MapModel::similarity;
  straight.method = made_through.method;
  straight.mirrored = side == Side::bottom;
  straight.rms_mm = made_through.rms_mm;
  straight.leave_one_out_mm = made_through.leave_one_out_mm;
  straight.px_per_mm = px_per_mm;
  const double mm = 1 / px_per_mm, columns = std::max(1, cvRound(rect.width_mm * px_per_mm));
  if (side == Side::top)
    straight.board_from_photo.rows = {mm, 0, rect.left_mm, 0, -mm, rect.low_mm + rect.height_mm, 0, 0, 1};
  else
    straight.board_from_photo.rows = {-mm, 0, rect.left_mm + columns * mm, 0, -mm, rect.low_mm + rect.height_mm, 0, 0, 1};
  return straight;
}

}  // namespace boardlore
