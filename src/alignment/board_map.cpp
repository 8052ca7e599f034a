#include "alignment/board_map.h"

#include <algorithm>
#include <opencv2/calib3d.hpp>
#include <opencv2/core.hpp>

#include "geometry/lens.h"

namespace boardlore {
namespace {

// Both frames brought to about unit size, so that one step length suits all parameters.
struct Normal {
  double photo_x = 0, photo_y = 0, photo_scale = 1;
  double board_x = 0, board_y = 0, board_scale = 1;
  double board_y_sign = 1;  // -1 where the photo's y runs against the board's, as in a photo of the top
};

struct UnitPoint {
  double x = 0, y = 0;  // photo
  double X = 0, Y = 0;  // board
};

// photo = lens(h(board)); h[8] is 1.
struct Parameters {
  std::array<double, 8> h{1, 0, 0, 0, 1, 0, 0, 0};
  double k1 = 0;
};

constexpr std::size_t most_parameters = 9;

// Where a board point is seen, and by how much that changes with each parameter.
bool seen_at(const Parameters& p, const UnitPoint& at, double& x, double& y, double (*jacobian)[most_parameters]) {
  const double w = p.h[6] * at.X + p.h[7] * at.Y + 1;
  if (!(w > 1e-6)) return false;
  const double u = (p.h[0] * at.X + p.h[1] * at.Y + p.h[2]) / w;
  const double v = (p.h[3] * at.X + p.h[4] * at.Y + p.h[5]) / w;
  const double r2 = u * u + v * v, stretch = 1 + p.k1 * r2;
  x = u * stretch;
  y = v * stretch;
  if (jacobian == nullptr) return true;
  const double du[8] = {at.X / w, at.Y / w, 1 / w, 0, 0, 0, -u * at.X / w, -u * at.Y / w};
  const double dv[8] = {0, 0, 0, at.X / w, at.Y / w, 1 / w, -v * at.X / w, -v * at.Y / w};
  const double xu = stretch + 2 * p.k1 * u * u, xv = 2 * p.k1 * u * v, yv = stretch + 2 * p.k1 * v * v;
  for (std::size_t i = 0; i < 8; ++i) {
    jacobian[0][i] = xu * du[i] + xv * dv[i];
    jacobian[1][i] = xv * du[i] + yv * dv[i];
  }
  jacobian[0][8] = u * r2;
  jacobian[1][8] = v * r2;
  return true;
}

double residual_sq(const Parameters& p, const UnitPoint& at) {
  double x = 0, y = 0;
  if (!seen_at(p, at, x, y, nullptr)) return 1e6;
  return (x - at.x) * (x - at.x) + (y - at.y) * (y - at.y);
}

double weighted_cost(const Parameters& p, const std::vector<UnitPoint>& points, const std::vector<double>& weights) {
  double sum = 0;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (weights[i] > 0) sum += weights[i] * residual_sq(p, points[i]);
  return sum;
}

// Levenberg-Marquardt on the weighted squares. `k1_variance` (per unit of residual variance) where asked.
void least_squares(Parameters& p, const std::vector<UnitPoint>& points, const std::vector<double>& weights,
                   bool with_lens, double* k1_variance) {
  const int n = with_lens ? 9 : 8;
  double damping = 1e-6, cost = weighted_cost(p, points, weights);
  cv::Mat normal(n, n, CV_64F), right(n, 1, CV_64F), step;
  for (int round = 0; round < 25; ++round) {
    normal = 0.0;
    right = 0.0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (weights[i] <= 0) continue;
      double x = 0, y = 0, jacobian[2][most_parameters];
      if (!seen_at(p, points[i], x, y, jacobian)) continue;
      const double rest[2] = {points[i].x - x, points[i].y - y};
      for (int row = 0; row < 2; ++row)
        for (int a = 0; a < n; ++a) {
          right.at<double>(a) += weights[i] * jacobian[row][a] * rest[row];
          for (int b = 0; b <= a; ++b) normal.at<double>(a, b) += weights[i] * jacobian[row][a] * jacobian[row][b];
        }
    }
    cv::completeSymm(normal, true);
    if (k1_variance != nullptr && with_lens) {
      const cv::Mat inverse = normal.inv(cv::DECOMP_SVD);
      *k1_variance = inverse.at<double>(8, 8);
    }
    bool better = false;
    for (int attempt = 0; attempt < 8 && !better; ++attempt) {
      cv::Mat damped = normal.clone();
      for (int a = 0; a < n; ++a) damped.at<double>(a, a) *= 1 + damping;
      if (!cv::solve(damped, right, step, cv::DECOMP_CHOLESKY)) {
        damping = std::max(damping * 10, 1e-9);
        continue;
      }
      Parameters moved = p;
      for (std::size_t a = 0; a < 8; ++a) moved.h[a] += step.at<double>(static_cast<int>(a));
      if (with_lens) moved.k1 += step.at<double>(8);
      const double moved_cost = weighted_cost(moved, points, weights);
      if (moved_cost < cost) {
        better = true;
        const double gain = cost - moved_cost;
        p = moved;
        cost = moved_cost;
        damping = std::max(damping * 0.1, 1e-12);
        if (gain < 1e-12 * cost) return;
      } else {
        damping *= 10;
      }
    }
    if (!better) return;
  }
}

double median_of(std::vector<double> values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

struct RobustFit {
  Parameters p;
  std::vector<double> weights;
  double k1_variance = 0;
  double sigma = 0;  // of one coordinate
};

// From a first map and the points that agreed with it, down to the map most agree with closely.
RobustFit robust_fit(Parameters start, std::vector<double> weights, const std::vector<UnitPoint>& points, bool with_lens,
                     double consensus, double floor) {
  RobustFit fit{start, std::move(weights), 0, 0};
  double reach = 2 * consensus;
  for (int round = 0; round < 12; ++round) {
    least_squares(fit.p, points, fit.weights, with_lens, &fit.k1_variance);
    std::vector<double> near;
    std::vector<double> distances(points.size());
    for (std::size_t i = 0; i < points.size(); ++i) {
      distances[i] = std::sqrt(residual_sq(fit.p, points[i]));
      if (distances[i] < reach) near.push_back(distances[i]);
    }
    if (near.size() < 6) return fit;
    // The median length of a two-dimensional normal error is 1.1774 sigma.
    fit.sigma = std::max(median_of(near) / 1.1774, floor);
    const double cut = std::min(4.685 * fit.sigma, reach);
    for (std::size_t i = 0; i < points.size(); ++i) {
      const double t = distances[i] / cut;
      fit.weights[i] = t < 1 ? (1 - t * t) * (1 - t * t) : 0;
    }
    reach = std::max(std::min(reach, 8 * fit.sigma), 4 * floor);
  }
  return fit;
}

std::array<double, 9> times(const std::array<double, 9>& a, const std::array<double, 9>& b) {
  std::array<double, 9> c{};
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j)
      for (std::size_t k = 0; k < 3; ++k) c[3 * i + j] += a[3 * i + k] * b[3 * k + j];
  return c;
}

std::optional<BoardMap> in_frames(const Parameters& p, bool with_lens, const Normal& n) {
  const std::array<double, 9> unit{p.h[0], p.h[1], p.h[2], p.h[3], p.h[4], p.h[5], p.h[6], p.h[7], 1};
  const std::array<double, 9> from_board{1 / n.board_scale, 0, -n.board_x / n.board_scale,
                                         0, n.board_y_sign / n.board_scale, -n.board_y_sign * n.board_y / n.board_scale, 0, 0, 1};
  const std::array<double, 9> to_photo{n.photo_scale, 0, n.photo_x, 0, n.photo_scale, n.photo_y, 0, 0, 1};
  BoardMap map;
  map.photo_from_board.rows = times(to_photo, times(unit, from_board));
  const auto inverse = map.photo_from_board.inverse();
  if (!inverse) return std::nullopt;
  map.board_from_photo = *inverse;
  if (with_lens) map.lens = LensTerm{p.k1, n.photo_x, n.photo_y, n.photo_scale};
  return map;
}

// Whether the lens term earns its place.
bool lens_is_supported(const RobustFit& plain, const RobustFit& lens, const std::vector<UnitPoint>& points) {
  // Judged on the points either fit kept, so that neither wins by throwing points away.
  double plain_sum = 0, lens_sum = 0, least_r = 1e9, most_r = 0;
  int count = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (lens.weights[i] <= 0 && plain.weights[i] <= 0) continue;
    const double cap = 9 * 2 * lens.sigma * lens.sigma;
    plain_sum += std::min(residual_sq(plain.p, points[i]), cap);
    lens_sum += std::min(residual_sq(lens.p, points[i]), cap);
    const double r = std::hypot(points[i].x, points[i].y);
    least_r = std::min(least_r, r);
    most_r = std::max(most_r, r);
    ++count;
  }
  if (count < 30 || most_r < 0.45 || most_r - least_r < 0.3) return false;
  const double n = 2.0 * count;
  const double floor = 1e-14 * n;
  const double gain = n * std::log(std::max(plain_sum, floor) / std::max(lens_sum, floor)) - std::log(n);
  const double error = std::sqrt(std::max(lens.k1_variance, 0.0)) * lens.sigma;
  // 6: "strong" on the scale of Kass and Raftery 1995. |k1| of 0.35 is a fisheye, not a camera on a bench.
  return gain > 6 && std::fabs(lens.p.k1) > 4 * error && std::fabs(lens.p.k1) < 0.35;
}

// The consensus search refuses samples whose turning sense changes, so both frames must turn the same way.
// Most triples of points say which way that is.
double turning_sense(const std::vector<Correspondence>& points) {
  const auto area = [](double ax, double ay, double bx, double by) { return ax * by - ay * bx; };
  int votes = 0;
  const std::size_t n = points.size(), step = std::max<std::size_t>(1, n / 3);
  for (std::size_t i = 0; i < n; ++i) {
    const Correspondence &a = points[i], &b = points[(i + step) % n], &c = points[(i + 2 * step) % n];
    const double photo = area(b.photo.x_px - a.photo.x_px, b.photo.y_px - a.photo.y_px, c.photo.x_px - a.photo.x_px,
                              c.photo.y_px - a.photo.y_px);
    const double board = area(b.board.x_mm - a.board.x_mm, b.board.y_mm - a.board.y_mm, c.board.x_mm - a.board.x_mm,
                              c.board.y_mm - a.board.y_mm);
    votes += photo * board > 0 ? 1 : -1;
  }
  return votes < 0 ? -1 : 1;
}

std::optional<double> left_out_mm(const RobustFit& whole, const std::vector<UnitPoint>& points,
                                  const std::vector<Correspondence>& originals, const std::vector<char>& fits,
                                  bool with_lens, const Normal& normal) {
  // Cells of a sixth of what is covered are left out together: neighbours on the same part share errors.
  double left = 1e9, right = -1e9, low = 1e9, high = -1e9;
  int count = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (!fits[i]) continue;
    ++count;
    left = std::min(left, points[i].X), right = std::max(right, points[i].X);
    low = std::min(low, points[i].Y), high = std::max(high, points[i].Y);
  }
  if (count < 12) return std::nullopt;
  const auto fold_of = [&](const UnitPoint& at) {
    const int column = std::min(5, static_cast<int>(6 * (at.X - left) / std::max(right - left, 1e-9)));
    const int row = std::min(5, static_cast<int>(6 * (at.Y - low) / std::max(high - low, 1e-9)));
    return (column + 2 * row) % 5;
  };
  double sum_sq = 0;
  int judged = 0;
  for (int fold = 0; fold < 5; ++fold) {
    std::vector<double> weights = whole.weights;
    int kept = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (!fits[i] || fold_of(points[i]) == fold) weights[i] = 0;
      if (weights[i] > 0) ++kept;
    }
    if (kept < 8) continue;
    Parameters p = whole.p;
    least_squares(p, points, weights, with_lens, nullptr);
    const auto map = in_frames(p, with_lens, normal);
    if (!map) continue;
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (!fits[i] || fold_of(points[i]) != fold) continue;
      const auto at = map->board(originals[i].photo);
      if (!at) continue;
      const double distance = distance_mm(*at, originals[i].board);
      sum_sq += distance * distance;
      ++judged;
    }
  }
  if (judged < 6) return std::nullopt;
  return std::sqrt(sum_sq / judged);
}

}  // namespace

std::optional<BoardPoint> BoardMap::board(PhotoPoint seen) const {
  if (!lens) return board_from_photo(seen);
  const auto straight = straight_from_seen(*lens, seen);
  return straight ? board_from_photo(*straight) : std::nullopt;
}

std::optional<PhotoPoint> BoardMap::photo(BoardPoint point) const {
  const auto straight = photo_from_board(point);
  if (!straight || !lens) return straight;
  return seen_from_straight(*lens, *straight);
}

BoardMap board_map_of(const Registration& registration) {
  BoardMap map{registration.board_from_photo, {}, registration.lens};
  if (const auto inverse = registration.board_from_photo.inverse()) map.photo_from_board = *inverse;
  return map;
}

std::optional<BoardMapFit> fit_board_map(const std::vector<Correspondence>& points, const BoardMapOptions& options) {
  if (points.size() < 6) return std::nullopt;
  Normal normal;
  normal.photo_x = options.width_px / 2.0;
  normal.photo_y = options.height_px / 2.0;
  normal.photo_scale = std::max(1.0, std::hypot(normal.photo_x, normal.photo_y));
  std::vector<double> xs, ys;
  for (const Correspondence& c : points) xs.push_back(c.board.x_mm), ys.push_back(c.board.y_mm);
  normal.board_x = median_of(xs);
  normal.board_y = median_of(ys);
  double spread = 0;
  for (const Correspondence& c : points)
    spread += std::hypot(c.board.x_mm - normal.board_x, c.board.y_mm - normal.board_y);
  normal.board_scale = std::max(spread / static_cast<double>(points.size()), 1e-6);

  normal.board_y_sign = turning_sense(points);
  std::vector<UnitPoint> unit;
  std::vector<cv::Point2d> from, to;
  for (const Correspondence& c : points) {
    unit.push_back({(c.photo.x_px - normal.photo_x) / normal.photo_scale,
                    (c.photo.y_px - normal.photo_y) / normal.photo_scale,
                    (c.board.x_mm - normal.board_x) / normal.board_scale,
                    normal.board_y_sign * (c.board.y_mm - normal.board_y) / normal.board_scale});
    from.emplace_back(unit.back().X, unit.back().Y);
    to.emplace_back(unit.back().x, unit.back().y);
  }
  const double consensus = options.consensus_px / normal.photo_scale;
  const double floor = options.floor_px / normal.photo_scale;
  std::vector<uchar> agrees;
  cv::Mat first;
  try {
    first = cv::findHomography(from, to, cv::USAC_MAGSAC, consensus, agrees, 5000, 0.9999);
  } catch (const cv::Exception&) {
    return std::nullopt;
  }
  if (first.empty() || std::fabs(first.at<double>(2, 2)) < 1e-12) return std::nullopt;
  Parameters start;
  for (std::size_t i = 0; i < 8; ++i)
    start.h[i] = first.at<double>(static_cast<int>(i / 3), static_cast<int>(i % 3)) / first.at<double>(2, 2);
  std::vector<double> weights(points.size(), 0.0);
  int agreeing = 0;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (agrees[i]) weights[i] = 1, ++agreeing;
  if (agreeing < 6) return std::nullopt;

  RobustFit fit = robust_fit(start, weights, unit, false, consensus, floor);
  bool with_lens = false;
  if (options.try_lens) {
    // A strong lens pushes the corners out of the plain consensus: the lens fit starts with a wider one.
    RobustFit bent = robust_fit(fit.p, fit.weights, unit, true, 4 * consensus, floor);
    if (lens_is_supported(fit, bent, unit)) {
      fit = bent;
      with_lens = true;
    }
  }
  const auto map = in_frames(fit.p, with_lens, normal);
  if (!map) return std::nullopt;
  BoardMapFit result;
  result.map = *map;
  result.fits.assign(points.size(), 0);
  double sum_px = 0, sum_mm = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (fit.weights[i] < 0.05) continue;
    const auto at = map->board(points[i].photo);
    if (!at) continue;
    const double off_mm = distance_mm(*at, points[i].board);
    result.fits[i] = 1;
    ++result.fit_count;
    sum_px += residual_sq(fit.p, unit[i]) * normal.photo_scale * normal.photo_scale;
    sum_mm += off_mm * off_mm;
  }
  if (result.fit_count < 6) return std::nullopt;
  result.rms_px = std::sqrt(sum_px / result.fit_count);
  result.rms_mm = std::sqrt(sum_mm / result.fit_count);
  result.leave_out_mm = left_out_mm(fit, unit, points, result.fits, with_lens, normal);
  return result;
}

}  // namespace boardlore
