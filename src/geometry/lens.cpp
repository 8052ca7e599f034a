#include "geometry/lens.h"

namespace boardlore {
namespace {

// Where r * (1 + k1 r^2) stops rising.
double fold_radius(double k1) { return k1 < 0 ? 1 / std::sqrt(-3 * k1) : HUGE_VAL; }

PhotoPoint scaled_about_centre(const LensTerm& lens, PhotoPoint p, double factor) {
  return {lens.centre_x_px + (p.x_px - lens.centre_x_px) * factor,
          lens.centre_y_px + (p.y_px - lens.centre_y_px) * factor};
}

double radius(const LensTerm& lens, PhotoPoint p) {
  return std::hypot(p.x_px - lens.centre_x_px, p.y_px - lens.centre_y_px) / lens.half_diagonal_px;
}

}  // namespace

std::optional<PhotoPoint> seen_from_straight(const LensTerm& lens, PhotoPoint straight) {
  const double r = radius(lens, straight);
  if (!(r < fold_radius(lens.k1))) return std::nullopt;
  return scaled_about_centre(lens, straight, 1 + lens.k1 * r * r);
}

std::optional<PhotoPoint> straight_from_seen(const LensTerm& lens, PhotoPoint seen) {
  const double seen_r = radius(lens, seen);
  if (!std::isfinite(seen_r)) return std::nullopt;
  if (seen_r == 0 || lens.k1 == 0) return seen;
  const double fold = fold_radius(lens.k1);
  double low = 0, high = fold;
  if (lens.k1 < 0 && seen_r >= fold * (1 + lens.k1 * fold * fold)) return std::nullopt;
  if (lens.k1 > 0) high = seen_r;
  double r = std::fmin(seen_r, 0.5 * (low + high));
  // Newton on a rising function, kept inside a bracket that always holds the answer.
  for (int step = 0; step < 100; ++step) {
    const double off = r * (1 + lens.k1 * r * r) - seen_r;
    (off > 0 ? high : low) = r;
    double next = r - off / (1 + 3 * lens.k1 * r * r);
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    if (std::fabs(next - r) <= 1e-15 * seen_r) {
      r = next;
      break;
    }
    r = next;
  }
  return scaled_about_centre(lens, seen, r / seen_r);
}

}  // namespace boardlore
