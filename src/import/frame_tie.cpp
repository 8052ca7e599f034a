#include "import/frame_tie.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace boardlore {
namespace {

constexpr double deg_per_rad = 180.0 / std::numbers::pi;

double normalised_deg(double deg) {
  double turned = std::fmod(deg, 360.0);
  if (turned < 0) turned += 360;
  return turned >= 360 ? 0 : turned;
}

struct Fit {
  double a = 1, b = 0, tx = 0,
         ty = 0;  // x' = a x - b y + tx (y flipped first where mirrored), y' = b x + a y + ty
  bool mirrored = false;
  double sum_sq_mm2 = 0;
  BoardPoint operator()(ImportPoint p) const {
    const double y = mirrored ? -p.y_mm : p.y_mm;
    return {a * p.x_mm - b * y + tx, b * p.x_mm + a * y + ty};
  }
};

// nullopt: the points coincide in one of the frames.
std::optional<Fit> fit(const std::vector<TiePoint>& points, bool mirrored, std::size_t left_out) {
  double n = 0, cx = 0, cy = 0, dx = 0, dy = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (i == left_out) continue;
    n += 1, cx += points[i].import.x_mm, cy += points[i].import.y_mm, dx += points[i].board.x_mm,
        dy += points[i].board.y_mm;
  }
  if (n < 2) return std::nullopt;
  cx /= n, cy /= n, dx /= n, dy /= n;
  double dot = 0, cross = 0, spread = 0, board_spread = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (i == left_out) continue;
    const double u = points[i].import.x_mm - cx, v = (points[i].import.y_mm - cy) * (mirrored ? -1 : 1);
    const double p = points[i].board.x_mm - dx, q = points[i].board.y_mm - dy;
    dot += u * p + v * q;
    cross += u * q - v * p;
    spread += u * u + v * v;
    board_spread += p * p + q * q;
  }
  // A hundredth of a millimetre: nothing on a board is picked or placed closer.
  if (!(spread > 1e-4) || !(board_spread > 1e-4)) return std::nullopt;
  Fit found;
  found.mirrored = mirrored;
  found.a = dot / spread, found.b = cross / spread;
  if (std::hypot(found.a, found.b) < 1e-9)
    found.a = 1e-9;  // the wrong hand of a symmetric set: a poor fit, not an error
  const double y = mirrored ? -cy : cy;
  found.tx = dx - (found.a * cx - found.b * y), found.ty = dy - (found.b * cx + found.a * y);
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (i == left_out) continue;
    const double off = distance_mm(found(points[i].import), points[i].board);
    found.sum_sq_mm2 += off * off;
  }
  if (!std::isfinite(found.sum_sq_mm2)) return std::nullopt;
  return found;
}

}  // namespace

Result<FrameTie> tie_frames(const std::vector<TiePoint>& points, MirrorChoice mirror) {
  const auto refuse = [](std::string expected, std::string found) {
    return Problem{"", "tie", std::move(expected), std::move(found), Outcome::bad_input};
  };
  if (points.size() < 2)
    return refuse("two or more places known in the list and on the board", std::to_string(points.size()));
  for (const TiePoint& point : points)
    if (!std::isfinite(point.import.x_mm) || !std::isfinite(point.import.y_mm) ||
        !std::isfinite(point.board.x_mm) || !std::isfinite(point.board.y_mm))
      return refuse("finite coordinates", "others for " + point.name);
  const std::size_t none = points.size();
  std::optional<Fit> straight, flipped;
  if (mirror != MirrorChoice::yes) straight = fit(points, false, none);
  if (mirror != MirrorChoice::no) flipped = fit(points, true, none);
  if (!straight && !flipped)
    return refuse("places apart from each other in both frames", "places that coincide");
  FrameTie tie;
  bool take_flipped = !straight;
  if (straight && flipped) {
    // Points on one line fit either hand. Below a micrometre (and a millionth of the fit) there is no
    // telling.
    const double difference = straight->sum_sq_mm2 - flipped->sum_sq_mm2;
    tie.mirror_known = std::fabs(difference) > 1e-6 * static_cast<double>(points.size()) +
                                                   1e-6 * std::max(straight->sum_sq_mm2, flipped->sum_sq_mm2);
    take_flipped = tie.mirror_known && difference > 0;
  }
  const Fit& best = take_flipped ? *flipped : *straight;
  tie.mirrored = best.mirrored;
  tie.scale = std::hypot(best.a, best.b);
  tie.turn_deg = normalised_deg(std::atan2(best.b, best.a) * deg_per_rad);
  const double hand = best.mirrored ? -1 : 1;
  tie.board_from_import.rows = {best.a, -best.b * hand, best.tx, best.b, best.a * hand, best.ty, 0, 0, 1};
  const auto count = static_cast<double>(points.size());
  tie.rms_mm = std::sqrt(best.sum_sq_mm2 / count);
  for (const TiePoint& point : points) {
    tie.residual_mm.push_back(distance_mm(best(point.import), point.board));
    if (tie.residual_mm.back() >= tie.worst_mm) tie.worst_mm = tie.residual_mm.back(), tie.worst = point.name;
  }
  // Leaving each out costs n fits of n points: enough for the few hundred parts a board shares with a list.
  if (points.size() >= 4 && points.size() <= 1000) {
    double least = tie.rms_mm;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const auto without = fit(points, best.mirrored, i);
      if (!without) continue;
      const double rms = std::sqrt(without->sum_sq_mm2 / (count - 1));
      if (rms < least) least = rms, tie.spoiler = points[i].name;
    }
    tie.rms_without_spoiler_mm = least;
    if (least > 0.5 * tie.rms_mm || tie.rms_mm < 0.01) tie.spoiler.clear();
  }
  return tie;
}

FrameTie same_frame() { return FrameTie{}; }

double board_rotation_deg(const FrameTie& tie, double import_rotation_deg) {
  return normalised_deg(tie.turn_deg + (tie.mirrored ? -import_rotation_deg : import_rotation_deg));
}

}  // namespace boardlore
