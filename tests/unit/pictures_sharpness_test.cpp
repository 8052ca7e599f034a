#include <doctest/doctest.h>

#include <limits>

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

double of_all(const Raster& raster) {
  return focus_measure(raster, {0, 0}, {static_cast<double>(raster.width_px), static_cast<double>(raster.height_px)});
}

// Printed marks: light squares of 7 px on a dark body.
int print(int x, int y) { return x % 20 < 7 && y % 20 < 7 ? 220 : 60; }

}  // namespace

TEST_CASE("each blur lowers the focus measure") {
  Raster raster = grey(200, 160, print);
  double last = of_all(raster);
  for (int pass = 0; pass < 6; ++pass) {
    raster = blurred(raster);
    const double now = of_all(raster);
    CHECK(now < 0.9 * last);
    last = now;
  }
}

TEST_CASE("half the light on the same board gives about the same focus measure") {
  const double bright = of_all(blurred(grey(200, 160, print)));
  const double dim = of_all(blurred(grey(200, 160, [](int x, int y) { return print(x, y) / 2; })));
  CHECK(dim == doctest::Approx(bright).epsilon(0.1));
}

TEST_CASE("known values: slope 0, checkerboard 64 V / (V + 100)") {
  // Source: by hand. On a checkerboard of 0 and 200 the Laplacian is 8 times the deviation of 100 from the
  // mean, so its variance is 64 V, V = 10000.
  CHECK(of_all(grey(100, 100, [](int x, int y) { return x + y; })) == doctest::Approx(0));
  CHECK(of_all(grey(100, 100, [](int x, int y) { return (x + y) % 2 * 200; })) ==
        doctest::Approx(64.0 * 10000 / 10100).epsilon(0.001));
}

TEST_CASE("noise on an even surface is not called sharp") {
  std::uint32_t state = 1;
  const auto noise = [&](int, int) {
    state = state * 1664525u + 1013904223u;
    return 100 + static_cast<int>(state >> 24) % 5;  // two grey levels either way
  };
  CHECK(of_all(grey(200, 160, noise)) < 0.5 * of_all(grey(200, 160, print)));
}

TEST_CASE("the measure is of the region, clipped to the picture") {
  const Raster raster = grey(200, 100, [](int x, int y) { return x < 100 ? print(x, y) : 90; });
  CHECK(focus_measure(raster, {0, 0}, {100, 100}) > 0.1);
  CHECK(focus_measure(raster, {105, 0}, {200, 100}) == 0);
  CHECK(focus_measure(raster, {100, 100}, {0, 0}) == focus_measure(raster, {-1e300, -5}, {100, 1e300}));
  CHECK(focus_measure(raster, {5, 5}, {7, 7}) == 0);
  CHECK(focus_measure(raster, {500, 500}, {600, 600}) == 0);
  CHECK(focus_measure(raster, {0, 0}, {std::numeric_limits<double>::quiet_NaN(), 5}) == 0);
  CHECK(focus_measure(Raster{}, {0, 0}, {5, 5}) == 0);
}
