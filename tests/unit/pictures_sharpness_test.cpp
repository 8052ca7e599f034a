#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>

#include "pictures/sharpness.h"
#include "pictures_made_for_tests.h"

using namespace boardlore;
using namespace boardlore::made;

namespace {

Raster grey(int width, int height, auto value) {
  Raster raster{width, height, {}};
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      const auto level = static_cast<std::uint8_t>(value(x, y));
      for (std::uint8_t byte : {level, level, level, std::uint8_t{255}}) raster.rgba.push_back(byte);
    }
  return raster;
}

Raster blurred(const Raster& sharp) {
  return grey(sharp.width_px, sharp.height_px, [&](int x, int y) {
    int sum = 0, count = 0;
    for (int row = std::max(0, y - 1); row <= std::min(sharp.height_px - 1, y + 1); ++row)
      for (int column = std::max(0, x - 1); column <= std::min(sharp.width_px - 1, x + 1); ++column, ++count)
        sum += sharp.pixel(column, row)[0];
    return sum / count;
  });
}

constexpr double px_per_mm = 15;

double of_all(const Raster& raster, double scale = px_per_mm) {
  return focus_measure(raster, {0, 0}, {static_cast<double>(raster.width_px), static_cast<double>(raster.height_px)}, scale);
}

// Printed marks: light squares of 7 px on a dark body.
int print(int x, int y) { return x % 20 < 7 && y % 20 < 7 ? 220 : 60; }

// A step from dark to light at `at`, blurred by a Gaussian: the error function.
double step(double x, double at, double sigma_px) { return 60 + 80 * (1 + std::erf((x - at) / (sigma_px * std::sqrt(2.0)))); }

}  // namespace

TEST_CASE("each blur lowers the focus measure") {
  Raster raster = grey(200, 160, print);
  double last = of_all(raster);
  for (int pass = 0; pass < 5; ++pass) {
    raster = blurred(raster);
    const double now = of_all(raster);
    CHECK(now < last);
    last = now;
  }
}

TEST_CASE("half the light on the same board gives the same focus measure") {
  const double bright = of_all(blurred(grey(200, 160, print)));
  const double dim = of_all(blurred(grey(200, 160, [](int x, int y) { return print(x, y) / 2; })));
  CHECK(dim == doctest::Approx(bright).epsilon(0.02));
}

TEST_CASE("an edge of known blur gives what the formula says, at any resolution") {
  // Source: by hand, integrating the square of the edge's slope: sqrt((b^2 + coarse^2) / (b^2 + fine^2)).
  for (const double scale : {12.0, 20.0, 45.0})
    for (const double blur_mm : {0.08, 0.15, 0.21, 0.3}) {
      CAPTURE(scale);
      CAPTURE(blur_mm);
      const int side = static_cast<int>(6 * scale);
      const Raster raster = grey(side, side, [&](int x, int y) { return std::lround(step(x + 0.5, side / 3.0, blur_mm * scale) / 2 + step(y + 0.5, side / 2.0, blur_mm * scale) / 2); });
      const double expected = std::sqrt((blur_mm * blur_mm + focus_coarse_mm * focus_coarse_mm) / (blur_mm * blur_mm + focus_fine_mm * focus_fine_mm));
      CHECK(of_all(raster, scale) == doctest::Approx(expected).epsilon(0.05));
    }
}

TEST_CASE("a plain slope is not sharp, an even surface is nothing to judge by") {
  CHECK(of_all(grey(100, 100, [](int x, int y) { return x + y; })) == doctest::Approx(1).epsilon(0.02));
  CHECK(of_all(grey(100, 100, [](int, int) { return 90; })) == 0);
}

TEST_CASE("grain is not sharpness: on an even surface nothing, on a blurred one no more than without") {
  std::mt19937 random(5);
  std::normal_distribution<double> grain(0, 5);
  const auto grained = [&](double level) { return std::clamp(std::lround(level + grain(random)), 0L, 255L); };
  CHECK(of_all(grey(200, 160, [&](int, int) { return grained(100); })) == 0);
  const auto soft = [](int x, int y) { return step(x, 60, 3.2) / 2 + step(y, 80, 3.2) / 2; };
  const double clean = of_all(grey(200, 160, [&](int x, int y) { return std::lround(soft(x, y)); }));
  const double noisy = of_all(grey(200, 160, [&](int x, int y) { return grained(soft(x, y)); }));
  CHECK(noisy == doctest::Approx(clean).epsilon(0.1));
}

TEST_CASE("a photo shaken one way is not sharp, though its other edges are") {
  const auto shaken = grey(200, 160, [](int x, int y) {
    int sum = 0;
    for (int i = -5; i <= 5; ++i) sum += print(x + i + 20, y);
    return sum / 11;
  });
  CHECK(of_all(grey(200, 160, print)) > 2);
  CHECK(of_all(shaken) < 1.6);
}

TEST_CASE("the measure is of the region, clipped to the picture") {
  const Raster raster = grey(200, 100, [](int x, int y) { return x < 100 ? print(x, y) : 90; });
  const auto of = [&](PhotoPoint lo, PhotoPoint hi, double scale = px_per_mm) { return focus_measure(raster, lo, hi, scale); };
  CHECK(of({0, 0}, {100, 100}) > 1.5);
  CHECK(of({105, 0}, {200, 100}) == 0);
  CHECK(of({100, 100}, {0, 0}) == of({-1e300, -5}, {100, 1e300}));
  CHECK(of({5, 5}, {8, 8}) == 0);
  CHECK(of({500, 500}, {600, 600}) == 0);
  CHECK(of({0, 0}, {std::numeric_limits<double>::quiet_NaN(), 5}) == 0);
  for (const double scale : {0.0, -1.0, std::numeric_limits<double>::infinity(), std::numeric_limits<double>::quiet_NaN(), 1e300}) CHECK(of({0, 0}, {100, 100}, scale) == 0);
  CHECK(focus_measure(Raster{}, {0, 0}, {5, 5}, px_per_mm) == 0);
}
