#include "pictures/sharpness.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace boardlore {
namespace {

// Finer than this the picture is reduced first: it costs less and loses nothing at the scales looked at.
constexpr double most_px_per_mm = 24;
constexpr double most_pixels = 4e6;
// A direction counts where its coarse energy is at least this part of the strongest one's, above the grain's own, and
// above what rounding to whole grey levels makes.
constexpr double least_share = 0.1;
constexpr double least_energy = 0.01;
constexpr double rounding_variance = 0.04;  // of luminance: 1/12 a channel, weighted

struct Grey {
  int width = 0, height = 0;
  std::vector<float> level;
  float at(int x, int y) const {
    x = std::clamp(x, 0, width - 1), y = std::clamp(y, 0, height - 1);
    return level[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)];
  }
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

// Luminance (weights of Rec. ITU-R BT.601), each pixel the mean of `by` x `by` of the picture's.
Grey luminance(const Raster& raster, PixelRect region, int by) {
  Grey grey{region.width() / by, region.height() / by, {}};
  grey.level.reserve(static_cast<std::size_t>(grey.width) * static_cast<std::size_t>(grey.height));
  for (int y = 0; y < grey.height; ++y)
    for (int x = 0; x < grey.width; ++x) {
      double sum = 0;
      for (int row = 0; row < by; ++row)
        for (int column = 0; column < by; ++column) {
          const std::uint8_t* rgba = raster.pixel(region.left + x * by + column, region.top + y * by + row);
          sum += 0.299 * rgba[0] + 0.587 * rgba[1] + 0.114 * rgba[2];
        }
      grey.level.push_back(static_cast<float>(sum / (by * by)));
    }
  return grey;
}

double grain_variance(const Grey& grey) {
  std::vector<float> fine;
  fine.reserve(grey.level.size());
  for (int y = 1; y + 1 < grey.height; ++y)
    for (int x = 1; x + 1 < grey.width; ++x) {
      float sum = 0;
      for (int row = -1; row <= 1; ++row)
        for (int column = -1; column <= 1; ++column) sum += static_cast<float>((row == 0 ? -2 : 1) * (column == 0 ? -2 : 1)) * grey.at(x + column, y + row);
      fine.push_back(std::fabs(sum));
    }
  const auto middle = fine.begin() + static_cast<std::ptrdiff_t>(fine.size() / 2);
  std::nth_element(fine.begin(), middle, fine.end());
  // 1.4826: from median to standard deviation of a normal distribution; 6: the kernel's own gain.
  const double deviation = 1.4826 * static_cast<double>(*middle) / 6;
  return deviation * deviation + rounding_variance;
}

// Mean of the squared slope in one direction, the grain's part taken off.
struct Energy {
  double clean = 0;
  double grain = 0;  // what was taken off
};

std::vector<float> gaussian(double sigma_px) {
  const int reach = std::max(1, static_cast<int>(std::ceil(3 * sigma_px)));
  std::vector<float> weights;
  double total = 0;
  for (int i = -reach; i <= reach; ++i) total += std::exp(-i * i / (2 * sigma_px * sigma_px));
  for (int i = -reach; i <= reach; ++i) weights.push_back(static_cast<float>(std::exp(-i * i / (2 * sigma_px * sigma_px)) / total));
  return weights;
}

Grey smoothed(const Grey& grey, const std::vector<float>& weights, bool along_x) {
  const int reach = static_cast<int>(weights.size() / 2);
  Grey smooth = grey;
  std::size_t place = 0;
  for (int y = 0; y < grey.height; ++y)
    for (int x = 0; x < grey.width; ++x, ++place) {
      float sum = 0;
      for (int i = -reach; i <= reach; ++i) sum += weights[static_cast<std::size_t>(i + reach)] * (along_x ? grey.at(x + i, y) : grey.at(x, y + i));
      smooth.level[place] = sum;
    }
  return smooth;
}

// `steady` is smoothed already, across the direction that is looked along.
Energy energy_along(const Grey& steady, bool along_x, const std::vector<float>& along, const std::vector<float>& across, double variance) {
  const Grey smooth = smoothed(steady, along, along_x);
  Energy energy;
  double count = 0;
  for (int y = 1; y + 1 < smooth.height; ++y)
    for (int x = 1; x + 1 < smooth.width; ++x, ++count) {
      const double slope = along_x ? (smooth.at(x + 1, y) - smooth.at(x - 1, y)) / 2 : (smooth.at(x, y + 1) - smooth.at(x, y - 1)) / 2;
      energy.clean += slope * slope;
    }
  // What white grain becomes: the squared weights of smoothing across, times those of smoothing and slope along.
  double gain_across = 0, gain_along = 0;
  for (const float weight : across) gain_across += static_cast<double>(weight) * weight;
  const int size = static_cast<int>(along.size());
  const auto weight = [&](int i) { return i < 0 || i >= size ? 0.0 : static_cast<double>(along[static_cast<std::size_t>(i)]); };
  for (int i = -1; i <= size; ++i) gain_along += (weight(i - 1) - weight(i + 1)) * (weight(i - 1) - weight(i + 1)) / 4;
  energy.grain = variance * gain_across * gain_along;
  energy.clean = energy.clean / count - energy.grain;
  return energy;
}

// The slope is taken over two pixels, which smooths by a box of two: its variance of 1/3 is part of the scale.
std::vector<float> scale_weights(double mm, double px_per_mm) { return gaussian(std::sqrt(std::max(0.1, mm * px_per_mm * mm * px_per_mm - 1.0 / 3))); }

}  // namespace

double focus_measure(const Raster& raster, PhotoPoint lo, PhotoPoint hi, double px_per_mm) {
  if (raster.empty() || !std::isfinite(lo.x_px + lo.y_px + hi.x_px + hi.y_px) || !(px_per_mm > 0) || !std::isfinite(px_per_mm)) return 0;
  const PixelRect region = clipped(raster, lo, hi);
  const double pixels = static_cast<double>(region.width()) * region.height();
  const double by_scale = std::floor(px_per_mm / (most_px_per_mm / 2)), by_size = std::ceil(std::sqrt(pixels / most_pixels));
  const int by = static_cast<int>(std::clamp(std::max(by_scale, by_size), 1.0, 1e6));
  if (region.width() / by < 5 || region.height() / by < 5) return 0;
  const Grey grey = luminance(raster, region, by);
  const double scale = px_per_mm / by, variance = grain_variance(grey);
  const std::vector<float> fine = scale_weights(focus_fine_mm, scale), coarse = scale_weights(focus_coarse_mm, scale);
  std::array<Energy, 2> at_fine, at_coarse;  // along x, along y
  for (const bool along_x : {true, false}) {
    // Across, both are smoothed alike: what is fine across the direction must not count for it.
    const Grey steady = smoothed(grey, coarse, !along_x);
    at_fine[along_x ? 0 : 1] = energy_along(steady, along_x, fine, coarse, variance);
    at_coarse[along_x ? 0 : 1] = energy_along(steady, along_x, coarse, coarse, variance);
  }
  const double strongest = std::max(at_coarse[0].clean, at_coarse[1].clean);
  double worst = 0;
  for (std::size_t i = 0; i < 2; ++i) {
    if (at_coarse[i].clean < std::max({least_share * strongest, at_coarse[i].grain, least_energy})) continue;
    const double ratio = std::max(0.0, at_fine[i].clean) / at_coarse[i].clean;
    worst = worst == 0 ? ratio : std::min(worst, ratio);
  }
  return worst;
}

}  // namespace boardlore
