#include "geometry/map_estimate.h"

#include <algorithm>

namespace boardlore {
namespace {

using Points = std::vector<std::array<double, 2>>;

Points photo_points(const std::vector<PointPair>& pairs) {
  Points points;
  for (const PointPair& pair : pairs) points.push_back({pair.photo.x_px, pair.photo.y_px});
  return points;
}

Points board_points(const std::vector<PointPair>& pairs) {
  Points points;
  for (const PointPair& pair : pairs) points.push_back({pair.board.x_mm, pair.board.y_mm});
  return points;
}

std::array<double, 2> normalised(const Normaliser& n, const std::array<double, 2>& p) {
  return {n.scale * (p[0] - n.centre_x), n.scale * (p[1] - n.centre_y)};
}

BoardFromPhoto denormalised(const std::array<double, 9>& h, const Normaliser& photo, const Normaliser& board) {
  // board^-1 * h * photo, written out so that no frame type has to be made up for the normalised planes.
  const Homography<BoardPoint, BoardPoint> board_back{
      {1 / board.scale, 0, board.centre_x, 0, 1 / board.scale, board.centre_y, 0, 0, 1}};
  const Homography<PhotoPoint, PhotoPoint> photo_there{
      {photo.scale, 0, -photo.scale * photo.centre_x, 0, photo.scale, -photo.scale * photo.centre_y, 0, 0, 1}};
  return board_back * BoardFromPhoto{h} * photo_there;
}

std::array<double, 9> into_normalised(const BoardFromPhoto& map, const Normaliser& photo, const Normaliser& board) {
  const Homography<BoardPoint, BoardPoint> board_there{
      {board.scale, 0, -board.scale * board.centre_x, 0, board.scale, -board.scale * board.centre_y, 0, 0, 1}};
  const Homography<PhotoPoint, PhotoPoint> photo_back{
      {1 / photo.scale, 0, photo.centre_x, 0, 1 / photo.scale, photo.centre_y, 0, 0, 1}};
  return (board_there * map * photo_back).rows;
}

double cost(const std::array<double, 9>& h, const Points& from, const Points& to) {
  double sum = 0;
  for (std::size_t i = 0; i < from.size(); ++i) {
    const double x = from[i][0], y = from[i][1], w = h[6] * x + h[7] * y + h[8];
    const double u = (h[0] * x + h[1] * y + h[2]) / w - to[i][0], v = (h[3] * x + h[4] * y + h[5]) / w - to[i][1];
    sum += u * u + v * v;
  }
  return std::isfinite(sum) ? sum : HUGE_VAL;
}

}  // namespace

Normaliser normaliser_of(const Points& points) {
  Normaliser n;
  for (const auto& p : points) n.centre_x += p[0], n.centre_y += p[1];
  n.centre_x /= static_cast<double>(points.size());
  n.centre_y /= static_cast<double>(points.size());
  double mean_distance = 0;
  for (const auto& p : points) mean_distance += std::hypot(p[0] - n.centre_x, p[1] - n.centre_y);
  mean_distance /= static_cast<double>(points.size());
  n.scale = mean_distance > 0 ? std::sqrt(2.0) / mean_distance : 1;
  return n;
}

BoardFromPhoto scaled_to_one(BoardFromPhoto map) {
  double largest = 0;
  for (const double element : map.rows) largest = std::max(largest, std::fabs(element));
  const double scale = std::fabs(map.rows[8]) > 1e-9 * largest ? map.rows[8] : largest;
  for (double& element : map.rows) element /= scale;
  return map;
}

std::optional<DltEstimate> dlt_homography(const std::vector<PointPair>& pairs) {
  const Points from = photo_points(pairs), to = board_points(pairs);
  const Normaliser photo = normaliser_of(from), board = normaliser_of(to);
  SmallMatrix rows(2 * pairs.size(), 9);
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const auto [x, y] = normalised(photo, from[i]);
    const auto [u, v] = normalised(board, to[i]);
    const std::array<double, 9> first{0, 0, 0, -x, -y, -1, v * x, v * y, v};
    const std::array<double, 9> second{x, y, 1, 0, 0, 0, -u * x, -u * y, -u};
    for (std::size_t k = 0; k < 9; ++k) rows(2 * i, k) = first[k], rows(2 * i + 1, k) = second[k];
  }
  const SingularValues values = singular_values(std::move(rows));
  std::array<double, 9> h{};
  std::copy(values.smallest_vector.begin(), values.smallest_vector.end(), h.begin());
  const BoardFromPhoto map = scaled_to_one(denormalised(h, photo, board));
  for (const double element : map.rows)
    if (!std::isfinite(element)) return std::nullopt;
  return DltEstimate{map, values.falling[7] / values.falling[0]};
}

BoardFromPhoto refined_homography(const BoardFromPhoto& start, const std::vector<PointPair>& pairs) {
  Points from = photo_points(pairs), to = board_points(pairs);
  const Normaliser photo = normaliser_of(from), board = normaliser_of(to);
  for (auto& p : from) p = normalised(photo, p);
  for (auto& p : to) p = normalised(board, p);
  std::array<double, 9> h = into_normalised(start, photo, board);
  // w at the photo points' centroid: never 0 where the horizon passes beside the points.
  if (h[8] == 0) return start;
  const double w_centre = h[8];
  for (double& element : h) element /= w_centre;

  double now = cost(h, from, to), damping = 1e-6;
  for (int step = 0; step < 100 && now > 0; ++step) {
    SmallMatrix normal(8, 8);
    std::vector<double> gradient(8, 0.0);
    for (std::size_t i = 0; i < from.size(); ++i) {
      const double x = from[i][0], y = from[i][1], w = h[6] * x + h[7] * y + h[8];
      const double u = (h[0] * x + h[1] * y + h[2]) / w, v = (h[3] * x + h[4] * y + h[5]) / w;
      const std::array<double, 8> du{x / w, y / w, 1 / w, 0, 0, 0, -u * x / w, -u * y / w};
      const std::array<double, 8> dv{0, 0, 0, x / w, y / w, 1 / w, -v * x / w, -v * y / w};
      for (std::size_t a = 0; a < 8; ++a) {
        gradient[a] -= du[a] * (u - to[i][0]) + dv[a] * (v - to[i][1]);
        for (std::size_t b = 0; b < 8; ++b) normal(a, b) += du[a] * du[b] + dv[a] * dv[b];
      }
    }
    for (std::size_t a = 0; a < 8; ++a) normal(a, a) *= 1 + damping;
    const auto change = solve_symmetric(normal, gradient);
    if (!change) break;
    std::array<double, 9> tried = h;
    double moved = 0;
    for (std::size_t a = 0; a < 8; ++a) tried[a] += (*change)[a], moved = std::max(moved, std::fabs((*change)[a]));
    const double then = cost(tried, from, to);
    if (then <= now) {
      h = tried;
      now = then;
      damping = std::max(damping * 0.1, 1e-15);
      if (moved < 1e-14) break;
    } else {
      damping *= 10;
      if (damping > 1e12 || moved < 1e-14) break;
    }
  }
  return scaled_to_one(denormalised(h, photo, board));
}

std::optional<BoardFromPhoto> affine_map(const std::vector<PointPair>& pairs) {
  Points from = photo_points(pairs), to = board_points(pairs);
  const Normaliser photo = normaliser_of(from), board = normaliser_of(to);
  SmallMatrix normal(3, 3);
  std::vector<double> right_u(3, 0.0), right_v(3, 0.0);
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const auto [x, y] = normalised(photo, from[i]);
    const auto [u, v] = normalised(board, to[i]);
    const std::array<double, 3> row{x, y, 1};
    for (std::size_t a = 0; a < 3; ++a) {
      right_u[a] += row[a] * u;
      right_v[a] += row[a] * v;
      for (std::size_t b = 0; b < 3; ++b) normal(a, b) += row[a] * row[b];
    }
  }
  const auto first = solve_symmetric(normal, right_u), second = solve_symmetric(normal, right_v);
  if (!first || !second) return std::nullopt;
  return denormalised({(*first)[0], (*first)[1], (*first)[2], (*second)[0], (*second)[1], (*second)[2], 0, 0, 1}, photo,
                      board);
}

std::optional<BoardFromPhoto> similarity_map(const std::vector<PointPair>& pairs, bool mirrored) {
  // As complex numbers board = a * photo + t for the bottom; for the top the photo's y is turned up first.
  const double up = mirrored ? 1 : -1;
  const Points from = photo_points(pairs), to = board_points(pairs);
  const Normaliser photo = normaliser_of(from), board = normaliser_of(to);
  double real = 0, imaginary = 0, size = 0;
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const double x = from[i][0] - photo.centre_x, y = up * (from[i][1] - photo.centre_y);
    const double u = to[i][0] - board.centre_x, v = to[i][1] - board.centre_y;
    real += u * x + v * y;
    imaginary += v * x - u * y;
    size += x * x + y * y;
  }
  if (!(size > 0) || (real == 0 && imaginary == 0)) return std::nullopt;
  real /= size, imaginary /= size;
  const double c = photo.centre_x, d = up * photo.centre_y;
  return BoardFromPhoto{{real, -imaginary * up, board.centre_x - real * c + imaginary * d, imaginary, real * up,
                         board.centre_y - imaginary * c - real * d, 0, 0, 1}};
}

double w_at(const BoardFromPhoto& map, PhotoPoint at) {
  return map.rows[6] * at.x_px + map.rows[7] * at.y_px + map.rows[8];
}

std::array<double, 4> derivative_at(const BoardFromPhoto& map, PhotoPoint at) {
  const auto& h = map.rows;
  const double w = w_at(map, at);
  const double u = (h[0] * at.x_px + h[1] * at.y_px + h[2]) / w, v = (h[3] * at.x_px + h[4] * at.y_px + h[5]) / w;
  return {(h[0] - u * h[6]) / w, (h[1] - u * h[7]) / w, (h[3] - v * h[6]) / w, (h[4] - v * h[7]) / w};
}

double sum_of_squares_mm2(const BoardFromPhoto& map, const std::vector<PointPair>& pairs) {
  double sum = 0;
  for (const PointPair& pair : pairs) {
    const auto board = map(pair.photo);
    if (!board) return HUGE_VAL;
    const double off = distance_mm(*board, pair.board);
    sum += off * off;
  }
  return sum;
}

}  // namespace boardlore
