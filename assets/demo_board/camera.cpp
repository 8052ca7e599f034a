#include "camera.h"

#include <cmath>

#include "parts.h"

namespace demo_board {
namespace {

using Matrix = std::array<double, 9>;

Matrix times(const Matrix& a, const Matrix& b) {
  Matrix c{};
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j)
      for (std::size_t k = 0; k < 3; ++k) c[i * 3 + j] += a[i * 3 + k] * b[k * 3 + j];
  return c;
}

Matrix about_z(double rad) {
  const double c = std::cos(rad), s = std::sin(rad);
  return {c, -s, 0, s, c, 0, 0, 0, 1};
}

Matrix about_x(double rad) {
  const double c = std::cos(rad), s = std::sin(rad);
  return {1, 0, 0, 0, c, -s, 0, s, c};
}

Matrix inverse(const Matrix& m) {
  const double a = m[4] * m[8] - m[5] * m[7], b = m[5] * m[6] - m[3] * m[8],
               c = m[3] * m[7] - m[4] * m[6];
  const double d = m[0] * a + m[1] * b + m[2] * c;
  return {a / d, (m[2] * m[7] - m[1] * m[8]) / d, (m[1] * m[5] - m[2] * m[4]) / d,
          b / d, (m[0] * m[8] - m[2] * m[6]) / d, (m[2] * m[3] - m[0] * m[5]) / d,
          c / d, (m[1] * m[6] - m[0] * m[7]) / d, (m[0] * m[4] - m[1] * m[3]) / d};
}

constexpr double rad_per_deg = 3.14159265358979323846 / 180.0;

}  // namespace

Camera::Camera(const CameraPose& pose) : pose_(pose) {
  const double axis = pose.tilt_axis_deg * rad_per_deg;
  const Matrix tilt = times(about_z(axis), times(about_x(pose.tilt_deg * rad_per_deg), about_z(-axis)));
  turn_ = times(tilt, about_z(-pose.roll_deg * rad_per_deg));
  // Board plane to camera: x and y enter linearly, so three probes give the columns.
  const double mirror = pose.side == Side::bottom ? -1.0 : 1.0;
  const double cx = board_width_mm / 2, cy = board_height_mm / 2;
  const double f = pose.focal_px;
  const double px0 = pose.width_px / 2.0 + pose.shift_px.x, py0 = pose.height_px / 2.0 + pose.shift_px.y;
  Matrix camera_from_board{};
  for (std::size_t i = 0; i < 3; ++i) {
    const double tx = turn_[i * 3] * mirror, ty = -turn_[i * 3 + 1];
    camera_from_board[i * 3] = tx;
    camera_from_board[i * 3 + 1] = ty;
    camera_from_board[i * 3 + 2] = -tx * cx - ty * cy + (i == 2 ? pose.distance_mm : 0.0);
  }
  photo_from_board_ = times({f, 0, px0, 0, f, py0, 0, 0, 1}, camera_from_board);
  const double last = photo_from_board_[8];
  for (double& v : photo_from_board_) v /= last;
  board_from_photo_ = inverse(photo_from_board_);
}

Point Camera::view_from_board(Point p) const {
  return pose_.side == Side::bottom ? Point{board_width_mm - p.x, p.y} : p;
}

Point Camera::photo_px(const Solid& at) const {
  const Point seen = view_from_board({at.x, at.y});
  const double v[3] = {seen.x - board_width_mm / 2, -(seen.y - board_height_mm / 2), -at.height_mm};
  double c[3];
  for (std::size_t i = 0; i < 3; ++i)
    c[i] = turn_[i * 3] * v[0] + turn_[i * 3 + 1] * v[1] + turn_[i * 3 + 2] * v[2];
  c[2] += pose_.distance_mm;
  return {pose_.focal_px * c[0] / c[2] + pose_.width_px / 2.0 + pose_.shift_px.x,
          pose_.focal_px * c[1] / c[2] + pose_.height_px / 2.0 + pose_.shift_px.y};
}

Point Camera::board_mm(Point p) const {
  const Matrix& m = board_from_photo_;
  const double w = m[6] * p.x + m[7] * p.y + m[8];
  return {(m[0] * p.x + m[1] * p.y + m[2]) / w,
          (m[3] * p.x + m[4] * p.y + m[5]) / w};
}

Solid Camera::eye_mm() const {
  // The camera centre is where turn * v + (0,0,distance) vanishes.
  const double vx = -turn_[6] * pose_.distance_mm, vy = -turn_[7] * pose_.distance_mm,
               vz = -turn_[8] * pose_.distance_mm;
  const double x = vx + board_width_mm / 2, y = -vy + board_height_mm / 2;
  return {pose_.side == Side::bottom ? board_width_mm - x : x, y, -vz};
}

Point Camera::board_mm(Point p, double height_mm) const {
  const Point on_plane = board_mm(p);
  const Solid eye = eye_mm();
  const double t = height_mm / eye.height_mm;  // along the ray from the plane to the eye
  return {on_plane.x + (eye.x - on_plane.x) * t, on_plane.y + (eye.y - on_plane.y) * t};
}

}  // namespace demo_board
