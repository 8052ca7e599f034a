#include "alignment/grey_picture.h"

#include <opencv2/imgproc.hpp>

namespace boardlore {
namespace {

cv::Mat view_of(const Raster& raster) {
  // OpenCV has no read-only view; nothing here writes to it.
  return cv::Mat(raster.height_px, raster.width_px, CV_8UC4, const_cast<std::uint8_t*>(raster.rgba.data()));
}

}  // namespace

cv::Mat grey_of(const Raster& raster) {
  cv::Mat grey;
  cv::cvtColor(view_of(raster), grey, cv::COLOR_RGBA2GRAY);
  return grey;
}

cv::Mat colour_of(const Raster& raster) {
  cv::Mat rgb;
  cv::cvtColor(view_of(raster), rgb, cv::COLOR_RGBA2RGB);
  return rgb;
}

Raster raster_of(const cv::Mat& rgb) {
  Raster raster;
  raster.width_px = rgb.cols;
  raster.height_px = rgb.rows;
  raster.rgba.resize(4 * static_cast<std::size_t>(rgb.cols) * static_cast<std::size_t>(rgb.rows));
  cv::Mat target(rgb.rows, rgb.cols, CV_8UC4, raster.rgba.data());
  cv::cvtColor(rgb, target, cv::COLOR_RGB2RGBA);
  return raster;
}

Reduced reduce(const cv::Mat& picture, double factor) {
  Reduced reduced;
  if (factor >= 0.999) {
    reduced.picture = picture;
    return reduced;
  }
  const cv::Size size(std::max(1, cvRound(picture.cols * factor)), std::max(1, cvRound(picture.rows * factor)));
  cv::resize(picture, reduced.picture, size, 0, 0, cv::INTER_AREA);
  reduced.factor_x = static_cast<double>(size.width) / picture.cols;
  reduced.factor_y = static_cast<double>(size.height) / picture.rows;
  return reduced;
}

cv::Mat warped(const cv::Mat& source, cv::Size target, const PlaceMap& source_from_target, cv::Mat& valid) {
  constexpr int step = 16;
  constexpr float nowhere = -1e6F;
  const int columns = (target.width + step - 1) / step + 1, rows = (target.height + step - 1) / step + 1;
  cv::Mat coarse(rows, columns, CV_32FC2);
  for (int r = 0; r < rows; ++r)
    for (int c = 0; c < columns; ++c) {
      const auto at = source_from_target(PhotoPoint{c * double{step} + 0.5, r * double{step} + 0.5});
      coarse.at<cv::Vec2f>(r, c) = at ? cv::Vec2f(static_cast<float>(at->x_px - 0.5), static_cast<float>(at->y_px - 0.5))
                                      : cv::Vec2f(nowhere, nowhere);
    }
  cv::Mat places(target, CV_32FC2);
  valid.create(target, CV_8U);
  for (int y = 0; y < target.height; ++y) {
    const int r = y / step;
    const float fy = static_cast<float>(y % step) / step;
    cv::Vec2f* row = places.ptr<cv::Vec2f>(y);
    uchar* is_valid = valid.ptr<uchar>(y);
    for (int x = 0; x < target.width; ++x) {
      const int c = x / step;
      const float fx = static_cast<float>(x % step) / step;
      const cv::Vec2f top = coarse.at<cv::Vec2f>(r, c) * (1 - fx) + coarse.at<cv::Vec2f>(r, c + 1) * fx;
      const cv::Vec2f low = coarse.at<cv::Vec2f>(r + 1, c) * (1 - fx) + coarse.at<cv::Vec2f>(r + 1, c + 1) * fx;
      row[x] = top * (1 - fy) + low * fy;
      is_valid[x] = row[x][0] >= 1 && row[x][1] >= 1 && row[x][0] <= static_cast<float>(source.cols - 2) &&
                            row[x][1] <= static_cast<float>(source.rows - 2)
                        ? 255
                        : 0;
    }
  }
  cv::Mat picture;
  cv::remap(source, picture, places, cv::noArray(), cv::INTER_CUBIC, cv::BORDER_CONSTANT, cv::Scalar::all(0));
  return picture;
}

}  // namespace boardlore
