// The two frames everything is said in, and the map between them.
//
// A photo shows a board from somewhere; marks live on the board. Points are typed by frame so that a
// chain of maps that does not meet in the middle does not compile: a map is called after where it ends
// and where it starts, `board_from_photo`.
#pragma once

#include <array>
#include <cmath>
#include <optional>
#include <vector>

namespace boardlore {

// Millimetres; origin at the lower left corner of the outline seen from the top; x right, y up. Both
// sides share it, so a photo of the bottom maps with a mirror.
struct BoardPoint {
  double x_mm = 0, y_mm = 0;
  bool operator==(const BoardPoint&) const = default;
};

// Pixels after the Exif orientation is applied; x right, y down; the first pixel's centre is (0.5, 0.5).
struct PhotoPoint {
  double x_px = 0, y_px = 0;
  bool operator==(const PhotoPoint&) const = default;
};

// The two coordinates of a point whatever its frame, for code that serves both.
inline double x_of(BoardPoint p) { return p.x_mm; }
inline double y_of(BoardPoint p) { return p.y_mm; }
inline double x_of(PhotoPoint p) { return p.x_px; }
inline double y_of(PhotoPoint p) { return p.y_px; }

inline double distance_mm(BoardPoint a, BoardPoint b) { return std::hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm); }
inline double distance_px(PhotoPoint a, PhotoPoint b) { return std::hypot(a.x_px - b.x_px, a.y_px - b.y_px); }

// p_to = to_from_from(p_from), a plane projective map.
template <class To, class From>
struct Homography {
  std::array<double, 9> rows{1, 0, 0, 0, 1, 0, 0, 0, 1};  // row major, defined up to scale

  // nullopt: the point lies on the horizon line, or the result is not finite.
  std::optional<To> operator()(From from) const {
    const double x = x_of(from), y = y_of(from);
    const double w = rows[6] * x + rows[7] * y + rows[8];
    const double u = (rows[0] * x + rows[1] * y + rows[2]) / w;
    const double v = (rows[3] * x + rows[4] * y + rows[5]) / w;
    if (!std::isfinite(u) || !std::isfinite(v)) return std::nullopt;
    return To{u, v};
  }

  double determinant() const {
    return rows[0] * (rows[4] * rows[8] - rows[5] * rows[7]) - rows[1] * (rows[3] * rows[8] - rows[5] * rows[6]) +
           rows[2] * (rows[3] * rows[7] - rows[4] * rows[6]);
  }

  // Scaled so that its last element is 1 where that is not near 0. nullopt: singular.
  std::optional<Homography<From, To>> inverse() const {
    const double det = determinant();
    const auto& r = rows;
    std::array<double, 9> adjugate{r[4] * r[8] - r[5] * r[7], r[2] * r[7] - r[1] * r[8], r[1] * r[5] - r[2] * r[4],
                                   r[5] * r[6] - r[3] * r[8], r[0] * r[8] - r[2] * r[6], r[2] * r[3] - r[0] * r[5],
                                   r[3] * r[7] - r[4] * r[6], r[1] * r[6] - r[0] * r[7], r[0] * r[4] - r[1] * r[3]};
    double largest = 0;
    for (double element : adjugate) largest = std::fmax(largest, std::fabs(element));
    if (!std::isfinite(det) || det == 0 || !std::isfinite(largest) || largest == 0) return std::nullopt;
    const double scale = std::fabs(adjugate[8]) > 1e-9 * largest ? adjugate[8] : det;
    for (double& element : adjugate) element /= scale;
    return Homography<From, To>{adjugate};
  }

  bool operator==(const Homography&) const = default;
};

// Neighbours meet in the middle: board_from_new = board_from_old * old_from_new.
template <class To, class Middle, class From>
Homography<To, From> operator*(const Homography<To, Middle>& left, const Homography<Middle, From>& right) {
  Homography<To, From> product;
  for (std::size_t row = 0; row < 3; ++row)
    for (std::size_t column = 0; column < 3; ++column) {
      double sum = 0;
      for (std::size_t k = 0; k < 3; ++k) sum += left.rows[3 * row + k] * right.rows[3 * k + column];
      product.rows[3 * row + column] = sum;
    }
  return product;
}

using BoardFromPhoto = Homography<BoardPoint, PhotoPoint>;
using PhotoFromBoard = Homography<PhotoPoint, BoardPoint>;

enum class Side { top, bottom };

}  // namespace boardlore
