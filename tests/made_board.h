// Boards made for tests: drawn square-on from a seed, full of like parts as real ones are, and photos of
// them with everything known: where each board point is seen, and what was done to the picture.
#pragma once

#include <cmath>
#include <functional>
#include <opencv2/calib3d.hpp>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <random>
#include <string>

#include "alignment/grey_picture.h"
#include "domain/registration.h"

namespace made {

using namespace boardlore;

// std::mt19937 is the same everywhere; the distributions of <random> are not.
class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  double between(double low, double high) { return low + (high - low) * (static_cast<double>(engine_()) / 4294967296.0); }
  int below(int n) { return static_cast<int>(engine_() % static_cast<unsigned>(n)); }

 private:
  std::mt19937 engine_;
};

struct Board {
  double width_mm = 80, height_mm = 50;
  cv::Mat rgb;                 // square-on, px_per_mm pixels a millimetre
  double px_per_mm = 20;
};

inline cv::Point at(const Board& board, double x_mm, double y_mm) {
  return {cvRound(x_mm * board.px_per_mm), cvRound((board.height_mm - y_mm) * board.px_per_mm)};
}
inline void box(Board& board, double x_mm, double y_mm, double w_mm, double h_mm, const cv::Scalar& colour) {
  cv::rectangle(board.rgb, at(board, x_mm - w_mm / 2, y_mm + h_mm / 2), at(board, x_mm + w_mm / 2, y_mm - h_mm / 2), colour,
                cv::FILLED, cv::LINE_AA);
}
inline void chip_part(Board& board, double x, double y, bool upright, const cv::Scalar& body) {
  const double l = 1.6, w = 0.8;
  box(board, x, y, upright ? w : l, upright ? l : w, {200, 200, 195});
  box(board, x, y, upright ? w : l * 0.55, upright ? l * 0.55 : w, body);
}
inline void dual_row_part(Board& board, double x, double y, int pins, double turn_deg, const std::string& marking) {
  const double length = pins / 2 * 1.27, width = 4.0;
  for (int i = 0; i < pins / 2; ++i)
    for (int side = -1; side <= 1; side += 2)
      box(board, x + side * 2.6, y - length / 2 + 0.635 + 1.27 * i, 1.3, 0.5, {190, 190, 185});
  box(board, x, y, width, length, {45, 45, 48});
  const double c = turn_deg == 180 ? -1 : 1;
  cv::circle(board.rgb, at(board, x - c * 1.4, y + c * (length / 2 - 0.6)), cvRound(0.32 * board.px_per_mm), {150, 150, 150},
             cv::FILLED, cv::LINE_AA);
  cv::Mat label(cvRound(length * 0.6 * board.px_per_mm), cvRound(2.6 * board.px_per_mm), CV_8UC3, cv::Scalar(45, 45, 48));
  cv::putText(label, marking, {2, label.rows / 2}, cv::FONT_HERSHEY_SIMPLEX, board.px_per_mm / 30, {200, 200, 200}, 2,
              cv::LINE_AA);
  if (turn_deg == 180) cv::rotate(label, label, cv::ROTATE_180);
  const cv::Point corner = at(board, x, y) - cv::Point(label.cols / 2, label.rows / 2);
  label.copyTo(board.rgb(cv::Rect(corner, label.size()) & cv::Rect(0, 0, board.rgb.cols, board.rgb.rows)));
}

// The bare board: traces, vias, print. `seed` decides the model.
inline Board bare_board(unsigned seed) {
  Board board;
  Dice dice(seed);
  board.rgb = cv::Mat(cvRound(board.height_mm * board.px_per_mm), cvRound(board.width_mm * board.px_per_mm), CV_8UC3,
                      cv::Scalar(24, 92, 52));
  for (int i = 0; i < 150; ++i) {
    const double x = dice.between(0, board.width_mm), y = dice.between(0, board.height_mm);
    const double length = dice.between(3, 18), slant = dice.below(8) * 0.7853981633974483;
    const double mx = x + length * std::cos(slant), my = y + length * std::sin(slant);
    const double turn = slant + (dice.below(2) ? 0.785398 : -0.785398), more = dice.between(1, 8);
    for (const auto& [a, b] : {std::pair{at(board, x, y), at(board, mx, my)},
                               std::pair{at(board, mx, my), at(board, mx + more * std::cos(turn), my + more * std::sin(turn))}})
      cv::line(board.rgb, a, b, {48, 128, 78}, cvRound(0.25 * board.px_per_mm), cv::LINE_AA);
  }
  for (int i = 0; i < 160; ++i) {
    const cv::Point via = at(board, dice.between(1, board.width_mm - 1), dice.between(1, board.height_mm - 1));
    cv::circle(board.rgb, via, cvRound(0.35 * board.px_per_mm), {190, 170, 100}, cv::FILLED, cv::LINE_AA);
    cv::circle(board.rgb, via, cvRound(0.15 * board.px_per_mm), {20, 24, 20}, cv::FILLED, cv::LINE_AA);
  }
  for (int i = 0; i < 60; ++i) {
    const char letter[] = {"CRULQ"[dice.below(5)], static_cast<char>('1' + dice.below(9)), static_cast<char>('0' + dice.below(10)), 0};
    cv::putText(board.rgb, letter, at(board, dice.between(2, board.width_mm - 5), dice.between(2, board.height_mm - 2)),
                cv::FONT_HERSHEY_SIMPLEX, board.px_per_mm / 26, {225, 225, 220}, 2, cv::LINE_AA);
  }
  return board;
}

// With parts: rows of one capacitor, several like chips, so that parts repeat.
inline Board board_of(unsigned seed) {
  Board board = bare_board(seed);
  Dice dice(seed + 77);
  for (int row = 0; row < 5; ++row) {
    const double x = dice.between(5, 40), y = dice.between(5, 45), pitch = 2.54;
    const bool upright = dice.below(2) == 0;
    for (int i = 0; i < 10; ++i)
      chip_part(board, x + (upright ? pitch * i : 0), std::min(48.0, y + (upright ? 0 : pitch * i * 0.4)), upright, {150, 118, 80});
  }
  for (int i = 0; i < 5; ++i)
    dual_row_part(board, 10 + 15 * i, dice.between(12, 38), 8 + 2 * dice.below(4), 0, i % 2 ? "74X" : "LV3" + std::to_string(dice.below(9)));
  return board;
}

// A bench: no board at all, but full of texture.
inline cv::Mat desk(unsigned seed, cv::Size size) {
  Dice dice(seed);
  cv::Mat rgb(size, CV_8UC3, cv::Scalar(150, 120, 90));
  for (int i = 0; i < 400; ++i) {
    const cv::Point a(dice.below(size.width), dice.below(size.height));
    const cv::Scalar colour(dice.below(256), dice.below(256), dice.below(256));
    if (i % 3 == 0) cv::circle(rgb, a, 3 + dice.below(60), colour, dice.below(2) ? cv::FILLED : 3, cv::LINE_AA);
    if (i % 3 == 1) cv::line(rgb, a, {dice.below(size.width), dice.below(size.height)}, colour, 1 + dice.below(6), cv::LINE_AA);
    if (i % 3 == 2) cv::putText(rgb, std::to_string(dice.below(9999)), a, cv::FONT_HERSHEY_DUPLEX, dice.between(0.5, 3), colour, 2, cv::LINE_AA);
  }
  return rgb;
}

struct Shot {
  int width_px = 1600, height_px = 1200;
  double turn_deg = 0, tilt_deg = 0, tilt_axis_deg = 0;
  double zoom = 1;             // 1: the source's middle fills the picture
  double shift_x = 0, shift_y = 0;  // of the picture's size
  double k1 = 0;
  double blur_px = 0, noise = 0, gain = 1;
  double uneven = 0;           // brightness falls to 1 - uneven across the picture
  int glare_spots = 0;
  double hidden = 0;           // share covered
  unsigned seed = 1;
};

struct ShotPicture {
  cv::Mat rgb;
  Homography<PhotoPoint, PhotoPoint> straight_from_source;  // exact
  std::optional<LensTerm> lens;
  std::optional<PhotoPoint> seen(PhotoPoint source) const;
};

inline std::optional<PhotoPoint> ShotPicture::seen(PhotoPoint source) const {
  const auto p = straight_from_source(source);
  if (!p || !lens) return p;
  const double x = (p->x_px - lens->centre_x_px) / lens->half_diagonal_px, y = (p->y_px - lens->centre_y_px) / lens->half_diagonal_px;
  const double stretch = 1 + lens->k1 * (x * x + y * y);
  return PhotoPoint{lens->centre_x_px + lens->half_diagonal_px * x * stretch, lens->centre_y_px + lens->half_diagonal_px * y * stretch};
}

// A photo of a flat picture by a camera: the truth is exact by construction.
inline ShotPicture take(const cv::Mat& source, const Shot& shot) {
  ShotPicture result;
  const double degree = 0.017453292519943295;
  const double diagonal = std::hypot(shot.width_px, shot.height_px);
  // Camera one and a half picture diagonals away; the source plane scaled so that zoom 1 fills the picture.
  const double fit = shot.zoom * std::min(double(shot.width_px) / source.cols, double(shot.height_px) / source.rows);
  const double focal = 1.5 * diagonal;
  const cv::Matx33d centre(1, 0, -source.cols / 2.0, 0, 1, -source.rows / 2.0, 0, 0, 1);
  const auto about_z = [](double a) { return cv::Matx33d(std::cos(a), -std::sin(a), 0, std::sin(a), std::cos(a), 0, 0, 0, 1); };
  const double t = shot.tilt_deg * degree, axis = shot.tilt_axis_deg * degree;
  const cv::Matx33d about_x(1, 0, 0, 0, std::cos(t), -std::sin(t), 0, std::sin(t), std::cos(t));
  const cv::Matx33d turn = about_z(axis) * about_x * about_z(-axis) * about_z(shot.turn_deg * degree);
  const cv::Matx33d plane(turn(0, 0) * fit, turn(0, 1) * fit, 0, turn(1, 0) * fit, turn(1, 1) * fit, 0, turn(2, 0) * fit,
                          turn(2, 1) * fit, focal);
  const cv::Matx33d picture(focal, 0, shot.width_px * (0.5 + shot.shift_x), 0, focal, shot.height_px * (0.5 + shot.shift_y), 0, 0, 1);
  const cv::Matx33d whole = picture * plane * centre;
  for (std::size_t i = 0; i < 9; ++i) result.straight_from_source.rows[i] = whole.val[i] / whole(2, 2);
  if (shot.k1 != 0) result.lens = LensTerm{shot.k1, shot.width_px / 2.0, shot.height_px / 2.0, diagonal / 2};

  // Backwards from each pixel; the lens is turned back by fixed-point steps to convergence.
  const auto back = result.straight_from_source.inverse();
  cv::Mat places(shot.height_px, shot.width_px, CV_32FC2);
  for (int y = 0; y < shot.height_px; ++y)
    for (int x = 0; x < shot.width_px; ++x) {
      PhotoPoint p{x + 0.5, y + 0.5};
      if (result.lens) {
        const double h = result.lens->half_diagonal_px, sx = (p.x_px - result.lens->centre_x_px) / h, sy = (p.y_px - result.lens->centre_y_px) / h;
        double ux = sx, uy = sy;
        for (int i = 0; i < 30; ++i) {
          const double stretch = 1 + shot.k1 * (ux * ux + uy * uy);
          ux = sx / stretch, uy = sy / stretch;
        }
        p = {result.lens->centre_x_px + h * ux, result.lens->centre_y_px + h * uy};
      }
      const auto from = (*back)(p);
      places.at<cv::Vec2f>(y, x) = from ? cv::Vec2f(static_cast<float>(from->x_px - 0.5), static_cast<float>(from->y_px - 0.5)) : cv::Vec2f(-9, -9);
    }
  // Reduced first where the shot is smaller, so that fine detail does not alias.
  cv::Mat softened = source;
  if (fit < 0.9) cv::GaussianBlur(source, softened, {}, 0.45 / fit);
  cv::remap(softened, result.rgb, places, cv::noArray(), cv::INTER_CUBIC, cv::BORDER_CONSTANT, cv::Scalar(70, 66, 62));
  if (shot.blur_px > 0) cv::GaussianBlur(result.rgb, result.rgb, {}, shot.blur_px);
  Dice dice(shot.seed);
  if (shot.hidden > 0) {  // a hand, a cable, a cloth: dark and light shapes until enough is covered
    cv::Mat covered = cv::Mat::zeros(result.rgb.size(), CV_8U);
    while (cv::countNonZero(covered) < shot.hidden * static_cast<double>(covered.total())) {
      const cv::RotatedRect cover(cv::Point2f(static_cast<float>(dice.between(0, shot.width_px)), static_cast<float>(dice.between(0, shot.height_px))),
                                  cv::Size2f(static_cast<float>(dice.between(100, 400)), static_cast<float>(dice.between(100, 400))),
                                  static_cast<float>(dice.between(0, 180)));
      cv::Point2f corners[4];
      cover.points(corners);
      std::vector<cv::Point> polygon(corners, corners + 4);
      cv::fillConvexPoly(covered, polygon, 255);
      cv::fillConvexPoly(result.rgb, polygon, cv::Scalar(dice.between(40, 220), dice.between(40, 200), dice.between(40, 200)), cv::LINE_AA);
    }
  }
  cv::Mat light;
  result.rgb.convertTo(light, CV_32FC3, shot.gain);
  if (shot.uneven > 0)
    for (int y = 0; y < light.rows; ++y)
      for (int x = 0; x < light.cols; ++x)
        light.at<cv::Vec3f>(y, x) *= static_cast<float>(1 - shot.uneven * (0.6 * x / light.cols + 0.4 * y / light.rows));
  for (int i = 0; i < shot.glare_spots; ++i) {
    const double cx = dice.between(0, light.cols), cy = dice.between(0, light.rows), r = dice.between(0.03, 0.09) * light.cols;
    for (int y = 0; y < light.rows; ++y)
      for (int x = 0; x < light.cols; ++x) {
        const double d = std::hypot(x - cx, y - cy) / r;
        if (d < 3) light.at<cv::Vec3f>(y, x) += cv::Vec3f::all(static_cast<float>(400 * std::exp(-d * d)));
      }
  }
  if (shot.noise > 0) {
    cv::Mat grain(light.size(), CV_32FC3);
    cv::RNG rng(shot.seed);
    rng.fill(grain, cv::RNG::NORMAL, 0, shot.noise);
    light += grain;
  }
  light.convertTo(result.rgb, CV_8UC3);
  return result;
}

// The registration of a square-on picture of a made board.
inline Registration square_on(const Board& board) {
  Registration registration;
  registration.board_from_photo.rows = {1 / board.px_per_mm, 0, 0, 0, -1 / board.px_per_mm, board.height_mm, 0, 0, 1};
  registration.px_per_mm = board.px_per_mm;
  return registration;
}

}  // namespace made
