#include "pictures/sharpness.h"

#include <algorithm>
#include <cmath>

namespace boardlore {
namespace {

// Ten grey levels squared: well above the noise of a phone camera in bench light, well below any print.
constexpr double kNoiseVariance = 100;

// Rec. ITU-R BT.601 luma in 1/256.
int luminance(const std::uint8_t* rgba) { return (77 * rgba[0] + 150 * rgba[1] + 29 * rgba[2]) / 256; }

struct Spread {
  double sum = 0, sum_sq = 0, count = 0;
  void add(int value) {
    sum += value;
    sum_sq += static_cast<double>(value) * value;
    ++count;
  }
  double variance() const { return count == 0 ? 0 : std::max(0.0, sum_sq / count - sum / count * (sum / count)); }
};

// Clipped to the picture before it becomes an integer: a corner far outside must not overflow.
PixelRect clipped(const Raster& raster, PhotoPoint lo, PhotoPoint hi) {
  const auto edge = [](double px, int side, double (*round)(double)) {
    return static_cast<int>(round(std::clamp(px, 0.0, static_cast<double>(side))));
  };
  const auto down = [](double px) { return std::floor(px); };
  const auto up = [](double px) { return std::ceil(px); };
  return {edge(std::min(lo.x_px, hi.x_px), raster.width_px, down), edge(std::min(lo.y_px, hi.y_px), raster.height_px, down),
          edge(std::max(lo.x_px, hi.x_px), raster.width_px, up), edge(std::max(lo.y_px, hi.y_px), raster.height_px, up)};
}

}  // namespace

double focus_measure(const Raster& raster, PhotoPoint lo, PhotoPoint hi) {
  if (raster.empty() || !std::isfinite(lo.x_px + lo.y_px + hi.x_px + hi.y_px)) return 0;
  const PixelRect region = clipped(raster, lo, hi);
  if (region.width() < 3 || region.height() < 3) return 0;
  // Three rows of luminance at a time: the region may be the whole of a 48 MP photo.
  std::vector<int> rows[3];
  const auto read_row = [&](int y) {
    std::vector<int>& row = rows[y % 3];
    row.resize(static_cast<std::size_t>(region.width()));
    for (int x = region.left; x < region.right; ++x)
      row[static_cast<std::size_t>(x - region.left)] = luminance(raster.pixel(x, y));
  };
  Spread grey, laplacian;
  for (int y = region.top; y < region.bottom; ++y) {
    read_row(y);
    for (int value : rows[y % 3]) grey.add(value);
    if (y - region.top < 2) continue;
    const std::vector<int>&above = rows[(y - 2) % 3], &here = rows[(y - 1) % 3], &below = rows[y % 3];
    for (std::size_t x = 1; x + 1 < here.size(); ++x)
      laplacian.add(above[x] + below[x] + here[x - 1] + here[x + 1] - 4 * here[x]);
  }
  return laplacian.variance() / (grey.variance() + kNoiseVariance);
}

}  // namespace boardlore
