#include "geometry/photo_map.h"

#include <algorithm>

#include "geometry/lens.h"
#include "geometry/map_estimate.h"
#include "geometry/registration_fit.h"

namespace boardlore {
namespace {

constexpr double chi2_95 = 5.991464547107979;  // -2 ln 0.05: two degrees of freedom have a closed form
constexpr double prior_weight = 2;             // the assumed pick error counts like one point to spare

// d(board)/d(parameters) at a normalised photo point, two rows of `count`.
void parameter_rows(const std::array<double, 9>& h, MapModel model, double x, double y, double up,
                    std::vector<double>& du, std::vector<double>& dv) {
  if (model == MapModel::homography) {
    const double w = h[6] * x + h[7] * y + h[8];
    const double u = (h[0] * x + h[1] * y + h[2]) / w, v = (h[3] * x + h[4] * y + h[5]) / w;
    du = {x / w, y / w, 1 / w, 0, 0, 0, -u * x / w, -u * y / w};
    dv = {0, 0, 0, x / w, y / w, 1 / w, -v * x / w, -v * y / w};
  } else if (model == MapModel::affine) {
    du = {x, y, 1, 0, 0, 0};
    dv = {0, 0, 0, x, y, 1};
  } else {
    du = {x, -up * y, 1, 0};
    dv = {up * y, x, 0, 1};
  }
}

}  // namespace

PhotoMap::PhotoMap(Registration registration, PhotoFromBoard photo_from_board)
    : registration_(std::move(registration)), photo_from_board_(photo_from_board) {
  prepare_error();
}

Result<PhotoMap> PhotoMap::from(const Registration& registration) {
  const auto inverse = registration.board_from_photo.inverse();
  const bool lens_sound = !registration.lens || (std::isfinite(registration.lens->k1) &&
                                                 registration.lens->half_diagonal_px > 0);
  if (!inverse || !lens_sound)
    return Problem{"", "registration", "a map that can be turned back", "a singular or not finite one", Outcome::bad_input};
  return PhotoMap(registration, *inverse);
}

// The sign that w has on the near side of the horizon follows from the side shown: the map turns the plane
// over for the top (photo y runs down) and does not for the bottom, and det / w^3 tells which.
double PhotoMap::w_sign(PhotoPoint straight) const {
  const double w = w_at(registration_.board_from_photo, straight);
  const double turns = registration_.board_from_photo.determinant() * w;
  return (turns > 0) == registration_.mirrored ? 1 : -1;
}

std::optional<BoardPoint> PhotoMap::board_from(PhotoPoint photo) const {
  const auto straight = registration_.lens ? straight_from_seen(*registration_.lens, photo) : photo;
  if (!straight || w_sign(*straight) < 0) return std::nullopt;
  return registration_.board_from_photo(*straight);
}

std::optional<PhotoPoint> PhotoMap::straight_from(BoardPoint board) const {
  const auto straight = photo_from_board_(board);
  if (!straight || w_sign(*straight) < 0) return std::nullopt;
  return straight;
}

std::optional<PhotoPoint> PhotoMap::photo_from(BoardPoint board) const {
  const auto straight = straight_from(board);
  return straight && registration_.lens ? seen_from_straight(*registration_.lens, *straight) : straight;
}

void PhotoMap::prepare_error() {
  std::vector<std::array<double, 2>> points;
  std::vector<PointPair> pairs;
  for (const Fiducial& f : registration_.fiducials) {
    const auto straight = registration_.lens ? straight_from_seen(*registration_.lens, f.photo) : f.photo;
    if (!straight) continue;
    points.push_back({straight->x_px, straight->y_px});
    pairs.push_back({*straight, f.board});
  }
  const std::size_t parameters = parameter_count(registration_.model);
  if (2 * pairs.size() < parameters) return;
  const Normaliser n = normaliser_of(points);
  centre_x_px_ = n.centre_x, centre_y_px_ = n.centre_y, scale_ = n.scale;
  const BoardFromPhoto moved = registration_.board_from_photo *
                               Homography<PhotoPoint, PhotoPoint>{{1 / n.scale, 0, n.centre_x, 0, 1 / n.scale, n.centre_y, 0, 0, 1}};
  if (moved.rows[8] == 0) return;
  for (std::size_t k = 0; k < 9; ++k) moved_map_[k] = moved.rows[k] / moved.rows[8];

  const double up = registration_.mirrored ? 1 : -1;
  SmallMatrix normal(parameters, parameters);
  std::vector<double> du, dv;
  for (const auto& p : points) {
    parameter_rows(moved_map_, registration_.model, n.scale * (p[0] - n.centre_x), n.scale * (p[1] - n.centre_y), up, du, dv);
    for (std::size_t a = 0; a < parameters; ++a)
      for (std::size_t b = 0; b < parameters; ++b) normal(a, b) += du[a] * du[b] + dv[a] * dv[b];
  }
  covariance_mm2_ = invert_symmetric(normal);
  if (!covariance_mm2_) return;
  const double assumed_mm = registration_.px_per_mm > 0 ? pick_error_px / registration_.px_per_mm : 0;
  const double freedom = 2.0 * static_cast<double>(pairs.size()) - static_cast<double>(parameters);
  const double variance = (sum_of_squares_mm2(registration_.board_from_photo, pairs) + prior_weight * assumed_mm * assumed_mm) /
                          (freedom + prior_weight);
  for (double& element : covariance_mm2_->data) element *= variance;
}

double PhotoMap::error_mm(BoardPoint board) const {
  const auto straight = straight_from(board);
  if (!straight) return HUGE_VAL;
  if (!covariance_mm2_)
    return std::sqrt(chi2_95 / 2) * std::max(registration_.rms_mm, registration_.leave_one_out_mm.value_or(0));
  std::vector<double> du, dv;
  parameter_rows(moved_map_, registration_.model, scale_ * (straight->x_px - centre_x_px_),
                 scale_ * (straight->y_px - centre_y_px_), registration_.mirrored ? 1 : -1, du, dv);
  double trace = 0;
  for (std::size_t a = 0; a < du.size(); ++a)
    for (std::size_t b = 0; b < du.size(); ++b) trace += (*covariance_mm2_)(a, b) * (du[a] * du[b] + dv[a] * dv[b]);
  double nearest = HUGE_VAL;
  for (const Fiducial& f : registration_.fiducials) nearest = std::min(nearest, distance_mm(f.board, board));
  const double unfollowed = registration_.model == MapModel::affine ? 0.01 : registration_.model == MapModel::similarity ? 0.03 : 0;
  return std::sqrt(chi2_95 / 2 * std::max(trace, 0.0)) + unfollowed * nearest;
}

double PhotoMap::px_per_mm(BoardPoint board) const {
  const auto straight = straight_from(board);
  if (!straight) return 0;
  const auto d = derivative_at(registration_.board_from_photo, *straight);
  return 1 / std::sqrt(std::fabs(d[0] * d[3] - d[1] * d[2]));
}

double PhotoMap::board_turn_rad(BoardPoint board) const {
  // A short step up the board; a hundredth of a millimetre is far under a pixel and far over rounding.
  const auto here = photo_from(board), above = photo_from({board.x_mm, board.y_mm + 0.01});
  if (!here || !above) return 0;
  return std::atan2(above->x_px - here->x_px, here->y_px - above->y_px);
}

}  // namespace boardlore
