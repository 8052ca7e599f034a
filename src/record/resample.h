// A picture cut, turned, straightened or scaled: every pixel of the result asks where it comes from.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>

#include "domain/frames.h"
#include "pictures/pyramid.h"
#include "pictures/raster.h"

namespace boardlore {

// `source_from_out(x, y)`: the photo point of a place in the result, nullopt: nothing there (mid grey).
// `reduction`: source pixels a result pixel, about; the source is halved first as often as that is 2 or more,
// so that no detail finer than a result pixel turns into false pattern. Bilinear between.
template <class SourceFromOut>
Raster resampled(const Raster& source, int width_px, int height_px, double reduction, SourceFromOut source_from_out) {
  Raster reduced;
  const Raster* from = &source;
  double scale = 1;
  for (; reduction >= 2; reduction /= 2, scale /= 2) {
    reduced = halved(*from);
    from = &reduced;
  }
  Raster out;
  out.width_px = width_px;
  out.height_px = height_px;
  out.rgba.assign(4 * static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px), 128);
  for (int row = 0; row < height_px; ++row)
    for (int column = 0; column < width_px; ++column) {
      std::uint8_t* pixel = out.pixel(column, row);
      pixel[3] = 255;
      const std::optional<PhotoPoint> at = source_from_out(column + 0.5, row + 0.5);
      if (!at) continue;
      const double x = at->x_px * scale - 0.5, y = at->y_px * scale - 0.5;
      if (!(x > -1 && y > -1 && x < from->width_px && y < from->height_px)) continue;
      const int x0 = static_cast<int>(std::floor(x)), y0 = static_cast<int>(std::floor(y));
      const auto fx = static_cast<float>(x - x0), fy = static_cast<float>(y - y0);
      const int left = std::clamp(x0, 0, from->width_px - 1), right = std::clamp(x0 + 1, 0, from->width_px - 1);
      const int upper = std::clamp(y0, 0, from->height_px - 1), lower = std::clamp(y0 + 1, 0, from->height_px - 1);
      const std::uint8_t *a = from->pixel(left, upper), *b = from->pixel(right, upper);
      const std::uint8_t *c = from->pixel(left, lower), *d = from->pixel(right, lower);
      for (int i = 0; i < 3; ++i) {
        const float top = static_cast<float>(a[i]) + fx * static_cast<float>(b[i] - a[i]);
        const float bottom = static_cast<float>(c[i]) + fx * static_cast<float>(d[i] - c[i]);
        pixel[i] = static_cast<std::uint8_t>(top + fy * (bottom - top) + 0.5F);
      }
    }
  return out;
}

}  // namespace boardlore
