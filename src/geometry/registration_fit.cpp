#include "geometry/registration_fit.h"

#include <algorithm>
#include <cstdio>

#include "geometry/lens.h"
#include "geometry/map_estimate.h"
#include "geometry/point_set.h"

namespace boardlore {
namespace {

struct Estimate {
  BoardFromPhoto map;
  std::optional<LensTerm> lens;
};

std::vector<PointPair> pairs_of(const std::vector<Fiducial>& fiducials, const std::optional<LensTerm>& lens) {
  std::vector<PointPair> pairs;
  for (const Fiducial& f : fiducials) {
    const auto straight = lens ? straight_from_seen(*lens, f.photo) : f.photo;
    // Beyond the fold there is no straight place; far away keeps the cost high instead of hiding the point.
    pairs.push_back({straight.value_or(PhotoPoint{1e7, 1e7}), f.board});
  }
  return pairs;
}

Result<BoardFromPhoto> estimate_map(const std::vector<PointPair>& pairs, MapModel model, Side side) {
  const Problem open{"", "points", "points that fix the map", "a set that leaves it open; spread them further",
                     Outcome::bad_input};
  std::optional<BoardFromPhoto> map;
  if (model == MapModel::homography) {
    const auto dlt = dlt_homography(pairs);
    if (!dlt || dlt->spread < 1e-3) return open;
    map = refined_homography(dlt->board_from_photo, pairs);
  } else if (model == MapModel::affine) {
    map = affine_map(pairs);
  } else {
    map = similarity_map(pairs, side == Side::bottom);
  }
  if (!map || !map->inverse()) return open;
  return *map;
}

// The lens term is one number: a golden-section search over it, the map fitted anew at each try, is slow
// (some 60 fits of a few points: under a millisecond each) and cannot run away.
Result<Estimate> estimate_with_lens(const std::vector<Fiducial>& fiducials, Side side, LensTerm lens) {
  const auto cost = [&](double k1) {
    lens.k1 = k1;
    const auto pairs = pairs_of(fiducials, lens);
    const auto dlt = dlt_homography(pairs);
    return dlt ? sum_of_squares_mm2(refined_homography(dlt->board_from_photo, pairs), pairs) : HUGE_VAL;
  };
  // A wide phone lens bends by a few hundredths; 0.3 leaves room for a fisheye close-up attachment.
  double low = -0.3, high = 0.3;
  const double golden = 0.5 * (std::sqrt(5.0) - 1);
  double a = high - golden * (high - low), b = low + golden * (high - low), cost_a = cost(a), cost_b = cost(b);
  while (high - low > 1e-9) {
    if (cost_a < cost_b) {
      high = b, b = a, cost_b = cost_a;
      a = high - golden * (high - low), cost_a = cost(a);
    } else {
      low = a, a = b, cost_a = cost_b;
      b = low + golden * (high - low), cost_b = cost(b);
    }
  }
  lens.k1 = 0.5 * (low + high);
  const auto map = estimate_map(pairs_of(fiducials, lens), MapModel::homography, side);
  if (!map) return map.problem();
  return Estimate{*map, lens};
}

Result<Estimate> estimate(const std::vector<Fiducial>& fiducials, MapModel model, Side side,
                          const std::optional<LensTerm>& lens) {
  if (lens) return estimate_with_lens(fiducials, side, *lens);
  const auto map = estimate_map(pairs_of(fiducials, std::nullopt), model, side);
  if (!map) return map.problem();
  return Estimate{*map, std::nullopt};
}

// What each point says of the map of the others, and the one that does not belong.
void leave_each_out(FitReport& report, Side side, std::size_t parameters) {
  const std::vector<Fiducial>& all = report.registration.fiducials;
  const std::size_t n = all.size();
  report.leave_one_out_mm.assign(n, std::nullopt);
  double sum = 0, sum_all = 0;
  std::size_t counted = 0;
  std::vector<double> rest_mm2(n, HUGE_VAL);
  for (const double residual : report.residuals_mm) sum_all += residual * residual;
  if (2 * (n - 1) < parameters) return;
  for (std::size_t i = 0; i < n; ++i) {
    std::vector<Fiducial> others = all;
    others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
    const auto model = model_for(others);
    if (!model || *model != report.registration.model || !check_spread(others, *model)) continue;
    const auto fit = estimate(others, *model, side, report.registration.lens);
    if (!fit) continue;
    const auto left_out = pairs_of({all[i]}, fit->lens).front();
    const auto there = fit->map(left_out.photo);
    if (!there) continue;
    const double off = distance_mm(*there, left_out.board);
    report.leave_one_out_mm[i] = off;
    rest_mm2[i] = sum_of_squares_mm2(fit->map, pairs_of(others, fit->lens));
    sum += off * off;
    ++counted;
  }
  if (counted > 0) report.registration.leave_one_out_mm = std::sqrt(sum / static_cast<double>(counted));

  const auto best = static_cast<std::size_t>(std::min_element(rest_mm2.begin(), rest_mm2.end()) - rest_mm2.begin());
  const double freedom = 2.0 * static_cast<double>(n - 1) - static_cast<double>(parameters);
  if (freedom < 2 || !report.leave_one_out_mm[best]) return;
  // F with 2 and `freedom` degrees of freedom has a closed tail: P(F > f) = (1 + 2 f / freedom)^(-freedom / 2),
  // which here is (rest / all)^(freedom / 2).
  const double chance = static_cast<double>(n) * std::pow(rest_mm2[best] / sum_all, 0.5 * freedom);
  if (chance < 0.01 && *report.leave_one_out_mm[best] * report.registration.px_per_mm > pick_error_px)
    report.spoiler_index = best;
}

void add_notes(FitReport& report, std::size_t parameters) {
  const Registration& r = report.registration;
  const std::size_t n = r.fiducials.size();
  const auto note = [&](std::string text) { report.notes.push_back(std::move(text)); };
  if (r.model == MapModel::similarity)
    note("similarity from 2 places: a photo taken at a slant is not corrected; 4 points do that");
  if (r.model == MapModel::affine)
    note("affine map from 3 places: perspective is not corrected; a fourth point does that");
  if (2 * n <= parameters)
    note("no point to spare: the map passes through all of them, so how well it fits can't be told; one more point tells");
  else if (r.model == MapModel::homography && 2 * (n - 1) < parameters + 2)
    note("too few points to tell which one is off; 6 do");
  if (report.spoiler_index) {
    char text[200];
    std::snprintf(text, sizeof text, "point %zu spoils the fit: the other points put it %.3g mm away",
                  *report.spoiler_index + 1, *report.leave_one_out_mm[*report.spoiler_index]);
    note(text);
  }
}

Result<FitReport> fit(const std::vector<Fiducial>& fiducials, Side side, const std::optional<LensTerm>& lens) {
  const auto model = model_for(fiducials);
  if (!model) return model.problem();
  if (const auto spread = check_spread(fiducials, *model); !spread) return spread.problem();
  const auto found = estimate(fiducials, *model, side, lens);
  if (!found) return found.problem();
  std::vector<Fiducial> straight = fiducials;
  const auto pairs = pairs_of(fiducials, found->lens);
  for (std::size_t i = 0; i < pairs.size(); ++i) straight[i].photo = pairs[i].photo;
  if (const auto sound = check_map(found->map, straight, side); !sound) return sound.problem();

  FitReport report;
  Registration& r = report.registration;
  r.model = *model;
  r.method = MapMethod::by_hand;
  r.board_from_photo = found->map;
  r.lens = found->lens;
  r.fiducials = fiducials;
  r.mirrored = side == Side::bottom;
  PhotoPoint middle;
  for (const PointPair& pair : pairs) {
    const auto there = found->map(pair.photo);
    report.residuals_mm.push_back(there ? distance_mm(*there, pair.board) : HUGE_VAL);
    middle.x_px += pair.photo.x_px / static_cast<double>(pairs.size());
    middle.y_px += pair.photo.y_px / static_cast<double>(pairs.size());
  }
  r.rms_mm = std::sqrt(sum_of_squares_mm2(found->map, pairs) / static_cast<double>(pairs.size()));
  const auto d = derivative_at(found->map, middle);
  r.px_per_mm = 1 / std::sqrt(std::fabs(d[0] * d[3] - d[1] * d[2]));
  const std::size_t parameters = parameter_count(*model) + (lens ? 1 : 0);
  leave_each_out(report, side, parameters);
  add_notes(report, parameters);
  return report;
}

}  // namespace

std::size_t parameter_count(MapModel model) {
  return model == MapModel::homography ? 8 : model == MapModel::affine ? 6 : 4;
}

Result<FitReport> fit_registration(const std::vector<Fiducial>& fiducials, Side side) {
  return fit(fiducials, side, std::nullopt);
}

Result<FitReport> fit_registration_with_lens(const std::vector<Fiducial>& fiducials, Side side, int width_px,
                                             int height_px) {
  if (width_px <= 0 || height_px <= 0)
    return Problem{"", "photo size", "a width and height in pixels", "none", Outcome::bad_input};
  if (const auto model = model_for(fiducials); !model) return model.problem();
  if (fiducials.size() < 6)
    return Problem{"", "points", "6 points or more to tell the lens from the perspective",
                   std::to_string(fiducials.size()), Outcome::bad_input};
  LensTerm lens;
  lens.centre_x_px = 0.5 * width_px;
  lens.centre_y_px = 0.5 * height_px;
  lens.half_diagonal_px = 0.5 * std::hypot(width_px, height_px);
  return fit(fiducials, side, lens);
}

}  // namespace boardlore
