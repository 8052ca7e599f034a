#include "geometry/scale.h"

#include <cstdio>

#include "geometry/registration_fit.h"

namespace boardlore {
namespace {

// Shorter than this a pick error of 2 px at each end is a tenth of the distance and more.
constexpr double shortest_px = 28;
constexpr double longest_mm = 10000;

Problem refused(std::string where, std::string expected, std::string found) {
  return {"", std::move(where), std::move(expected), std::move(found), Outcome::bad_input};
}

}  // namespace

Result<ScaleReport> scale_from_distance(PhotoPoint a, PhotoPoint b, double distance_mm, Side side, int width_px,
                                        int height_px, std::optional<BoardCorners> corners) {
  const double length_px = distance_px(a, b);
  if (!(distance_mm > 0) || !(distance_mm < longest_mm))
    return refused("distance", "more than 0 mm and less than 10 m", std::to_string(distance_mm) + " mm");
  if (!(length_px >= shortest_px) || !std::isfinite(length_px))
    return refused("points", "28 px and more between them, so that the picks do not decide the scale",
                   std::to_string(length_px) + " px");
  if (width_px <= 0 || height_px <= 0) return refused("photo size", "a width and height in pixels", "none");

  ScaleReport report;
  report.mm_per_px = distance_mm / length_px;
  report.relative_error = std::sqrt(2.0) * pick_error_px / length_px;
  const bool bottom = side == Side::bottom;
  const PhotoPoint origin = corners ? corners->origin : PhotoPoint{bottom ? double(width_px) : 0.0, double(height_px)};
  const double s = report.mm_per_px, x_sign = bottom ? -1 : 1;
  Registration& r = report.registration;
  r.model = MapModel::similarity;
  r.mirrored = bottom;
  r.px_per_mm = 1 / s;
  r.board_from_photo = BoardFromPhoto{{x_sign * s, 0, -x_sign * s * origin.x_px, 0, -s, s * origin.y_px, 0, 0, 1}};
  for (const PhotoPoint end : {a, b}) r.fiducials.push_back({end, *r.board_from_photo(end), "known distance", {}});
  if (corners) {
    const BoardPoint far = *r.board_from_photo(corners->opposite);
    if (!(far.x_mm > 0) || !(far.y_mm > 0))
      return refused("corners", bottom ? "the lower right and the upper left corner as seen in this photo"
                                       : "the lower left and the upper right corner as seen in this photo",
                     "corners the other way about");
    report.width_mm = far.x_mm, report.height_mm = far.y_mm;
  }
  char text[160];
  std::snprintf(text, sizeof text, "provisional scale from one distance: lengths are good to %.2g %% at best, and a slant of the photo is not corrected",
                100 * report.relative_error);
  report.notes.push_back(text);
  return report;
}

Result<double> scale_correction(const PhotoMap& map, PhotoPoint a, PhotoPoint b, double known_mm) {
  const auto from = map.board_from(a), to = map.board_from(b);
  if (!from || !to) return refused("points", "points on the board", "a point beyond the horizon");
  const double now_mm = distance_mm(*from, *to);
  if (!(distance_px(a, b) >= shortest_px) || !(now_mm > 0))
    return refused("points", "28 px and more between them, so that the picks do not decide the scale",
                   std::to_string(distance_px(a, b)) + " px");
  if (!(known_mm > 0) || !(known_mm < longest_mm))
    return refused("distance", "more than 0 mm and less than 10 m", std::to_string(known_mm) + " mm");
  return known_mm / now_mm;
}

}  // namespace boardlore
