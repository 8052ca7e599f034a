// A photo drawn onto the board frame, for this room only.
#pragma once

#include "alignment/board_map.h"
#include "alignment/grey_picture.h"
#include "alignment/straighten.h"

namespace boardlore {

struct BoardPicture {
  cv::Mat picture;  // type of the source; row 0 is the rectangle's upper edge
  cv::Mat valid;    // CV_8U, 255 where the photo shows it
  BoardRect rect;
  double px_per_mm = 1;

  cv::Point2d pixel(BoardPoint p) const {  // OpenCV's pixel centres
    return {(p.x_mm - rect.left_mm) * px_per_mm - 0.5, (rect.low_mm + rect.height_mm - p.y_mm) * px_per_mm - 0.5};
  }
  BoardPoint board(cv::Point2d p) const {
    return {rect.left_mm + (p.x + 0.5) / px_per_mm, rect.low_mm + rect.height_mm - (p.y + 0.5) / px_per_mm};
  }
};

BoardPicture draw_on_board(const cv::Mat& photo, const BoardMap& map, const BoardRect& rect, double px_per_mm);
// Photo pixels a millimetre there; 0 where the map does not reach.
double photo_px_per_mm(const BoardMap& map, BoardPoint at);

}  // namespace boardlore
