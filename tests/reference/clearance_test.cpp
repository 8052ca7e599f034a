// Distances between outlines against Shapely (GEOS), Debian package python3-shapely.
#include <doctest/doctest.h>

#include <random>

#include "geometry/clearance.h"
#include "reference/python_run.h"

using namespace boardlore;

namespace {

using Random = std::mt19937;

double between(Random& random, double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); }

// Turned rectangles, convex and star-shaped polygons, circles, points and lines, as they lie on a board.
Shape random_shape(Random& random) {
  const BoardPoint centre{between(random, 0, 30), between(random, 0, 30)};
  Shape shape;
  switch (random() % 5) {
    case 0: return {{centre}, between(random, 0, 4)};
    case 1: {
      Mark mark;
      mark.at = centre;
      mark.rotation_deg = random() % 2 == 0 ? 90.0 * double(random() % 4) : between(random, 0, 360);
      mark.package = Package{};
      mark.package->body_length_mm = between(random, 0.2, 10), mark.package->body_width_mm = between(random, 0.2, 10);
      return shape_of(mark);
    }
    case 2: return {{centre, {centre.x_mm + between(random, -3, 3), centre.y_mm + between(random, -3, 3)}}, 0};
    default: {
      const auto corners = 3 + random() % 9;
      const bool clockwise = random() % 2 == 0;
      for (unsigned k = 0; k < corners; ++k) {
        const double angle = (clockwise ? -1 : 1) * 6.283185307179586 * (k + between(random, 0, 0.6)) / double(corners);
        const double r = between(random, 0.5, 6);
        shape.corners.push_back({centre.x_mm + r * std::cos(angle), centre.y_mm + r * std::sin(angle)});
      }
      return shape;
    }
  }
}

std::string line_of(const Shape& shape) {
  char text[64];
  std::snprintf(text, sizeof text, "%.17g", shape.radius_mm);
  std::string line = text;
  for (const BoardPoint& p : shape.corners) {
    std::snprintf(text, sizeof text, " %.17g %.17g", p.x_mm, p.y_mm);
    line += text;
  }
  return line + "\n";
}

}  // namespace

TEST_CASE("10,000 random pairs of outlines are as far apart as Shapely says") {
  if (!python_has("shapely.geometry")) {
    MESSAGE("skipped: python3-shapely is not there");
    return;
  }
  Random random(20260305);
  std::vector<std::pair<Shape, Shape>> pairs;
  std::string input;
  for (int i = 0; i < 10000; ++i) {
    pairs.emplace_back(random_shape(random), random_shape(random));
    input += line_of(pairs.back().first) + line_of(pairs.back().second);
  }
  const auto output = python_output(R"(
import sys
from shapely.geometry import Point, LineString, Polygon
def read(line):
    radius, *c = [float(x) for x in line.split()]
    corners = list(zip(c[::2], c[1::2]))
    figure = Point(corners[0]) if len(corners) == 1 else LineString(corners) if len(corners) == 2 else Polygon(corners)
    return figure, radius
lines = sys.stdin.readlines()
for a, b in zip(lines[::2], lines[1::2]):
    (f, r), (g, s) = read(a), read(b)
    print('%.17g' % max(0.0, f.distance(g) - r - s))
)", input);
  REQUIRE(output);
  std::istringstream lines(*output);
  double worst = 0;
  int apart = 0;
  for (const auto& [a, b] : pairs) {
    double expected = -1;
    lines >> expected;
    REQUIRE(expected >= 0);
    const double found = outline_distance_mm(a, b);
    CHECK(outline_distance_mm(b, a) == doctest::Approx(found).epsilon(1e-12));
    worst = std::max(worst, std::fabs(found - expected));
    apart += expected > 0 ? 1 : 0;
  }
  MESSAGE("largest difference ", worst, " mm; ", apart, " of 10000 pairs were apart");
  CHECK(worst < 1e-9);
  CHECK(apart > 5000);
  CHECK(apart < 9900);
}

TEST_CASE("point to segment, by hand") {
  // Source: worked by hand (foot of the perpendicular).
  const struct { BoardPoint p, a, b; double distance; } rows[] = {
      {{3, 4}, {0, 0}, {10, 0}, 4},  {{-3, 4}, {0, 0}, {10, 0}, 5},                {{12, 5}, {0, 0}, {10, 0}, 5.385164807135},
      {{2, 3}, {1, 1}, {5, 4}, 1},   {{0, 0}, {1, 1}, {5, 4}, 1.414213562373},     {{1, 1}, {2, 3}, {2, 3}, 2.236067977500},
      {{5, 5}, {0, 0}, {10, 10}, 0}};
  for (const auto& row : rows)
    CHECK(outline_distance_mm({{row.p}, 0}, {{row.a, row.b}, 0}) == doctest::Approx(row.distance).epsilon(1e-11));
}

TEST_CASE("areas and centroids, by hand") {
  // Source: shoelace formula, worked by hand.
  const Shape arrow{{{0, 0}, {10, 0}, {10, 10}, {5, 4}, {0, 10}}, 0};
  CHECK(signed_area_mm2(arrow.corners) == doctest::Approx(70));
  CHECK(centroid_of(arrow).x_mm == doctest::Approx(5));
  CHECK(centroid_of(arrow).y_mm == doctest::Approx(3.714285714));
  const Shape left_turned{{{3, 4}, {5, 11}, {12, 8}, {9, 5}, {5, 6}}, 0};
  CHECK(signed_area_mm2(left_turned.corners) == doctest::Approx(-30));
  CHECK(area_mm2(left_turned) == doctest::Approx(30));
  CHECK(centroid_of(left_turned).x_mm == doctest::Approx(7.166666667));
  CHECK(centroid_of(left_turned).y_mm == doctest::Approx(7.611111111));
  const struct { BoardPoint p; bool in; } places[] = {{{5, 3.99}, true}, {{5, 4.01}, false}, {{2, 5}, true}, {{5, 7}, false},
                                                      {{-1, 1}, false},  {{9, 8}, true},     {{5, 0.5}, true}, {{5, 4}, true}};
  for (const auto& place : places) CHECK(contains(arrow, place.p) == place.in);
}
