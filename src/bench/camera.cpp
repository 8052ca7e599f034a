#include "bench/camera.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

namespace boardlore {

ScreenFromPhoto screen_from_photo(const Camera& camera, ImVec2 middle) {
  return screen_from_photo(camera.zoom > 0 ? camera.zoom : 1, camera.turn_rad, camera.flipped, camera.centre,
                           ScreenPoint{middle.x, middle.y});
}

void fit(Camera& camera, int width_px, int height_px, ImVec2 pane, float margin) {
  if (width_px <= 0 || height_px <= 0) return;
  camera.centre = {width_px / 2.0, height_px / 2.0};
  const double c = std::fabs(std::cos(camera.turn_rad)), s = std::fabs(std::sin(camera.turn_rad));
  const double across = width_px * c + height_px * s, down = width_px * s + height_px * c;
  const double room_x = std::max(16.F, pane.x - 2 * margin), room_y = std::max(16.F, pane.y - 2 * margin);
  camera.zoom = std::clamp(std::min(room_x / across, room_y / down), min_zoom, max_zoom);
}

void zoom_about(Camera& camera, ImVec2 middle, ImVec2 fixed, double factor) {
  const PhotoPoint under = screen_from_photo(camera, middle).photo_from_screen({fixed.x, fixed.y});
  camera.zoom = std::clamp(camera.zoom * factor, min_zoom, max_zoom);
  const PhotoPoint now_under = screen_from_photo(camera, middle).photo_from_screen({fixed.x, fixed.y});
  camera.centre.x_px += under.x_px - now_under.x_px;
  camera.centre.y_px += under.y_px - now_under.y_px;
}

void pan_by(Camera& camera, ImVec2 moved) {
  const ScreenFromPhoto map = screen_from_photo(camera, ImVec2(0, 0));
  camera.centre = map.photo_from_screen({-moved.x, -moved.y});
}

void turn_quarter(Camera& camera, int quarters) {
  constexpr double quarter = std::numbers::pi / 2;
  const double stands = camera.turn_rad / quarter;
  const double next = quarters > 0 ? std::floor(stands + 1e-6) + quarters : std::ceil(stands - 1e-6) + quarters;
  camera.turn_rad = std::remainder(next * quarter, 2 * std::numbers::pi);
}

ScaleBar scale_bar(double screen_px_per_mm, double longest_px) {
  if (!(screen_px_per_mm > 0) || !std::isfinite(screen_px_per_mm) || !(longest_px > 0)) return {};
  const double longest_mm = longest_px / screen_px_per_mm;
  const double power = std::pow(10, std::floor(std::log10(longest_mm)));
  const double lead = longest_mm / power >= 5 ? 5 : longest_mm / power >= 2 ? 2 : 1;
  ScaleBar bar;
  bar.length_mm = lead * power;
  bar.length_px = bar.length_mm * screen_px_per_mm;
  char text[32];
  if (bar.length_mm < 0.9995)
    std::snprintf(text, sizeof text, "%.4g µm", bar.length_mm * 1000);
  else
    std::snprintf(text, sizeof text, "%.4g mm", bar.length_mm);
  bar.words = text;
  return bar;
}

}  // namespace boardlore
