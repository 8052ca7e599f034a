#include "geometry/net_points.h"

#include <doctest/doctest.h>

#include "geometry/pins.h"

using namespace boardlore;

TEST_CASE("all points of a net, on both sides, at the pins where those are known") {
  Layer layer;
  Mark u1;
  u1.id = Id{"00000000-0000-7000-8000-000000000001"}, u1.kind = MarkKind::part, u1.refdes = "U1", u1.at = {10, 10};
  Package package;
  package.family = PackageFamily::dual_row, package.pins = 8, package.pitch_mm = 1.27, package.span_mm = 5.4;
  u1.package = package;
  u1.nets = {{"1", "GND"}, {"5", "GND"}, {"8", "+5V"}};
  Mark c1 = u1;
  c1.id = Id{"00000000-0000-7000-8000-000000000002"}, c1.refdes = "C1", c1.at = {30, 5}, c1.side = Side::bottom, c1.package.reset();
  c1.nets = {{"1", "GND"}, {"2", "gnd"}};
  Mark tp = c1;
  tp.id = Id{"00000000-0000-7000-8000-000000000003"}, tp.kind = MarkKind::probe, tp.refdes = "TP1", tp.nets = {{"1", "GND"}};
  for (const Mark& mark : {u1, c1, tp}) layer.marks = layer.marks.with(std::make_shared<const Mark>(mark));
  const std::vector<NetPoint> points = points_of_net(layer, "GND");
  REQUIRE(points.size() == 4);
  // By hand: a dual row of 8 at 0 degrees has pin 1 upper left and pin 5 lower right, seen from the top.
  CHECK(points[0].pin == "1");
  CHECK(points[0].exact);
  CHECK(points[0].at.x_mm == doctest::Approx(10 - 2.7));
  CHECK(points[0].at.y_mm == doctest::Approx(10 + 1.5 * 1.27));
  CHECK(points[1].at.x_mm == doctest::Approx(10 + 2.7));
  CHECK(points[1].at.y_mm == doctest::Approx(10 - 1.5 * 1.27));
  CHECK(points[2].mark->refdes == "C1");
  CHECK_FALSE(points[2].exact);
  CHECK(points[3].exact);
  CHECK(points_of_net(layer, "gnd").size() == 1);
  CHECK(points_of_net(layer, "").empty());
  CHECK(points_of_net(layer, "VBAT").empty());
}
