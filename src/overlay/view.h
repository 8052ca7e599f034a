// How a photo lies on a screen or a page: zoom, turn, flip and shift.
//
// The window and the record show the same scene differently turned. Everything in a scene is in photo
// pixels; a canvas takes one of these and nothing else, so that a label is upright whichever way the
// board is.
#pragma once

#include <cmath>

#include "domain/frames.h"

namespace boardlore {

// Pixels of a window, points of a page or units of an SVG; x right, y down.
struct ScreenPoint {
  double x = 0, y = 0;
  bool operator==(const ScreenPoint&) const = default;
};

// p_screen = screen_from_photo(p_photo), affine.
struct ScreenFromPhoto {
  double xx = 1, xy = 0, yx = 0, yy = 1, x0 = 0, y0 = 0;

  ScreenPoint operator()(PhotoPoint p) const {
    return {xx * p.x_px + xy * p.y_px + x0, yx * p.x_px + yy * p.y_px + y0};
  }
  // Screen pixels a photo pixel, the mean of both axes.
  double zoom() const { return std::sqrt(std::fabs(xx * yy - xy * yx)); }
  // Undefined for a zoom of 0.
  PhotoPoint photo_from_screen(ScreenPoint p) const {
    const double det = xx * yy - xy * yx, x = p.x - x0, y = p.y - y0;
    return {(yy * x - xy * y) / det, (xx * y - yx * x) / det};
  }
  bool operator==(const ScreenFromPhoto&) const = default;
};

// The photo point `centre` comes to lie on `on_screen`, turned clockwise by `turn_rad`, then flipped left
// to right if `flipped` (as one sees a bottom when the board is turned over like a page).
inline ScreenFromPhoto screen_from_photo(double zoom, double turn_rad, bool flipped, PhotoPoint centre,
                                         ScreenPoint on_screen) {
  const double c = zoom * std::cos(turn_rad), s = zoom * std::sin(turn_rad), m = flipped ? -1 : 1;
  ScreenFromPhoto map{m * c, -m * s, s, c, 0, 0};
  const ScreenPoint moved = map(centre);
  map.x0 = on_screen.x - moved.x;
  map.y0 = on_screen.y - moved.y;
  return map;
}

// A part of a photo, edges included; x from `left` to `right`, y from `top` down to `bottom`.
struct PhotoRect {
  double left = 0, top = 0, right = 0, bottom = 0;
  bool contains(PhotoPoint p) const {
    return p.x_px >= left && p.x_px <= right && p.y_px >= top && p.y_px <= bottom;
  }
};

}  // namespace boardlore
