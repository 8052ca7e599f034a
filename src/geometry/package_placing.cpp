#include "geometry/package_placing.h"

#include <algorithm>
#include <cstdio>
#include <numbers>

#include "geometry/outline.h"
#include "geometry/pins.h"

namespace boardlore {
namespace {

// Usual pitches in mm (most from memory); only used to suggest what a wrong pitch may have been meant to be.
constexpr std::array<double, 14> usual_pitches_mm{0.35, 0.4, 0.5, 0.635, 0.65, 0.8, 0.95, 1.0, 1.25, 1.27, 1.5, 2.0, 2.5, 2.54};

// Makers' lands lie at the pitch to better than a percent; a neighbouring usual pitch is 2.4 % off and more.
constexpr double pitch_tolerance = 0.012;

}  // namespace

Result<PlacedPackage> package_from_pads(const Package& package, Side side, const std::vector<ClickedPad>& pads,
                                        double click_error_mm) {
  const auto refused = [](std::string where, std::string expected, std::string found) {
    return Problem{"", std::move(where), std::move(expected), std::move(found), Outcome::bad_input};
  };
  const auto pattern = pin_pattern(package);
  if (!pattern) return pattern.problem();
  if (pads.size() < 2) return refused("pads", "two pads or more", std::to_string(pads.size()));
  const double mirror = side == Side::bottom ? -1 : 1;
  std::vector<Offset> from;
  Offset from_mean;
  BoardPoint to_mean;
  const auto n = static_cast<double>(pads.size());
  for (const ClickedPad& pad : pads) {
    const auto pin = std::find_if(pattern->begin(), pattern->end(), [&](const PatternPin& p) { return p.name == pad.pin; });
    if (pin == pattern->end()) return refused("pad " + pad.pin, "a pin of the package", "none of that name");
    from.push_back({mirror * pin->at.x_mm, pin->at.y_mm});
    from_mean.x_mm += from.back().x_mm / n, from_mean.y_mm += from.back().y_mm / n;
    to_mean.x_mm += pad.at.x_mm / n, to_mean.y_mm += pad.at.y_mm / n;
  }
  double dot = 0, cross = 0, size2 = 0, farthest = 0;
  for (std::size_t i = 0; i < pads.size(); ++i) {
    const double x = from[i].x_mm - from_mean.x_mm, y = from[i].y_mm - from_mean.y_mm;
    const double u = pads[i].at.x_mm - to_mean.x_mm, v = pads[i].at.y_mm - to_mean.y_mm;
    dot += x * u + y * v, cross += x * v - y * u, size2 += x * x + y * y;
    for (const ClickedPad& other : pads) farthest = std::max(farthest, distance_mm(pads[i].at, other.at));
  }
  if (!(size2 > 0) || !(farthest > 0) || !std::isfinite(dot + cross)) return refused("pads", "pads apart from each other", "all on one spot");

  PlacedPackage result;
  const double turn_rad = std::atan2(cross, dot), scale = std::hypot(dot, cross) / size2;
  result.rotation_deg = turn_rad * 180 / std::numbers::pi;
  if (result.rotation_deg < 0) result.rotation_deg += 360;
  const double c = std::cos(turn_rad), s = std::sin(turn_rad);
  result.at = {to_mean.x_mm - c * from_mean.x_mm + s * from_mean.y_mm, to_mean.y_mm - s * from_mean.x_mm - c * from_mean.y_mm};
  for (std::size_t i = 0; i < pads.size(); ++i) {
    const double off = distance_mm(pads[i].at, {result.at.x_mm + c * from[i].x_mm - s * from[i].y_mm,
                                                result.at.y_mm + s * from[i].x_mm + c * from[i].y_mm});
    result.rms_mm += off * off / n;
  }
  result.rms_mm = std::sqrt(result.rms_mm);

  const double turn_error_deg = std::sqrt(2.0) * click_error_mm / farthest * 180 / std::numbers::pi;
  const double square_deg = 90 * std::round(result.rotation_deg / 90);
  if (std::fabs(result.rotation_deg - square_deg) <= turn_error_deg) result.square_rotation_deg = std::fmod(square_deg, 360.0);

  result.pitch_seen_mm = scale * package.pitch_mm;
  const double allowed = pitch_tolerance + std::sqrt(2.0) * click_error_mm / farthest;
  result.pitch_fits = std::fabs(scale - 1) <= allowed;
  char text[200];
  if (!result.pitch_fits && package.pitch_mm > 0) {
    std::snprintf(text, sizeof text, "the clicked pads fit a pitch of %.3f mm, the package has %.3g mm", result.pitch_seen_mm, package.pitch_mm);
    result.notes.push_back(text);
    for (const double usual : usual_pitches_mm)
      if (std::fabs(usual - result.pitch_seen_mm) <= allowed * usual) {
        std::snprintf(text, sizeof text, "a usual pitch near that is %.3g mm", usual);
        result.notes.push_back(text);
      }
  } else if (!result.pitch_fits) {
    std::snprintf(text, sizeof text, "the clicked pads are %.3g times as far apart as the package's", scale);
    result.notes.push_back(text);
  }
  return result;
}

Result<std::array<std::string, 2>> pads_to_click(const Package& package) {
  const auto pattern = pin_pattern(package);
  if (!pattern) return pattern.problem();
  if (pattern->size() < 2) return Problem{"", "package", "two pins or more", std::to_string(pattern->size()), Outcome::bad_input};
  const PatternPin& first = pattern->front();
  const auto from_first = [&](const PatternPin& pin) { return std::hypot(pin.at.x_mm - first.at.x_mm, pin.at.y_mm - first.at.y_mm); };
  const auto farthest = std::max_element(pattern->begin(), pattern->end(), [&](const PatternPin& a, const PatternPin& b) {
    return from_first(a) < from_first(b);
  });
  return std::array<std::string, 2>{first.name, farthest->name};
}

}  // namespace boardlore
