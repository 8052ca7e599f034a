#include <doctest/doctest.h>

#include "overlay/canvas_cairo.h"
#include "overlay/overlay_scene.h"
#include "overlay/svg_canvas.h"

using namespace boardlore;

namespace {

// Source: by hand. A 60 mm x 40 mm board fills a 3000 px x 2000 px photo: 50 px per mm.
PhotoMap square_on() {
  Registration registration;
  registration.board_from_photo.rows = {0.02, 0, 0, 0, -0.02, 40, 0, 0, 1};
  registration.px_per_mm = 50;
  return *PhotoMap::from(registration);
}

MarkPtr part(const char* id, const char* refdes, BoardPoint at, double length_mm = 4, double width_mm = 2) {
  Mark mark;
  mark.id.text = id;
  mark.kind = MarkKind::part;
  mark.refdes = refdes;
  mark.at = at;
  const double x = length_mm / 2, y = width_mm / 2;
  mark.outline = {{-x, -y}, {x, -y}, {x, y}, {-x, y}};
  return std::make_shared<const Mark>(mark);
}

MarkPtr with_pin1(MarkPtr from, Offset pin1) {
  Mark mark = *from;
  mark.pin1 = pin1;
  return std::make_shared<const Mark>(mark);
}

}  // namespace

TEST_CASE("a part's outline lands on the photo where the map says") {
  const auto shapes = shapes_of(MarkTable({part("1", "R1", {30, 20})}), Side::top);
  const auto scene = overlay_scene(shapes, square_on(), {});
  REQUIRE(scene.strokes.size() == 1);
  REQUIRE(scene.strokes[0].points.size() == 4);
  CHECK(scene.strokes[0].points[0].x_px == doctest::Approx(1400));  // 28 mm, 19 mm
  CHECK(scene.strokes[0].points[0].y_px == doctest::Approx(1050));
  REQUIRE(scene.labels.size() == 1);
  CHECK(scene.labels[0].text == "R1");
  CHECK(scene.labels[0].extent_px == doctest::Approx(200));
}

TEST_CASE("pin 1 is a filled wedge in its own corner and a dot, and is drawn last") {
  const auto shapes = shapes_of(MarkTable({with_pin1(part("1", "U1", {30, 20}, 8, 6), {-4, 3})}), Side::top);
  OverlayOptions options;
  options.selected.insert(Id{"1"});
  const auto scene = overlay_scene(shapes, square_on(), options);
  const Stroke& last = scene.strokes.back();
  CHECK(last.role == Role::pin1);
  CHECK(last.filled);
  CHECK(last.points[0].x_px == doctest::Approx(1300));  // 26 mm, 23 mm
  CHECK(last.points[0].y_px == doctest::Approx(850));
  REQUIRE_FALSE(scene.dots.empty());
  CHECK(scene.dots.back().role == Role::pin1);
}

TEST_CASE("a resistor gets no pin 1 mark, a polarised part of the same body does") {
  Mark mark = *part("1", "R1", {30, 20});
  Package package;
  package.family = PackageFamily::two_terminal;
  package.pins = 2;
  package.span_mm = 3;
  package.body_length_mm = 4;
  package.body_width_mm = 2;
  mark.package = package;
  CHECK(mark_shape_of(std::make_shared<const Mark>(mark)).pin1_wedge.empty());
  mark.polarity = "positive";
  CHECK(mark_shape_of(std::make_shared<const Mark>(mark)).pin1_wedge.size() == 3);
}

TEST_CASE("what is outside the view is left out; what is tiny becomes a dot") {
  std::vector<MarkPtr> marks;
  for (int i = 0; i < 100; ++i)
    marks.push_back(part(("m" + std::to_string(100 + i)).c_str(), "C1", {i % 10 * 6.0 + 3, i / 10 * 4.0 + 2}, 1, 0.5));
  const auto shapes = shapes_of(MarkTable(marks), Side::top);
  CHECK(overlay_scene(shapes, square_on(), {}).strokes.size() == 100);
  OverlayOptions corner;
  corner.visible = PhotoRect{0, 0, 500, 300};  // 10 mm x 6 mm at the upper left: 2 x 2 parts, a margin of 0.7 mm
  CHECK(overlay_scene(shapes, square_on(), corner).strokes.size() == 4);
  OverlayOptions far;
  far.zoom = 0.05;  // 1 mm is 2.5 screen pixels
  const auto tiny = overlay_scene(shapes, square_on(), far);
  CHECK(tiny.strokes.empty());
  CHECK(tiny.dots.size() == 100);
}

TEST_CASE("a keep-out is dashed and hatched inside its outline only") {
  const std::vector<BoardPoint> polygon{{0, 0}, {10, 0}, {10, 10}, {5, 4}, {0, 10}};
  const auto lines = hatching_of(polygon, 1);
  CHECK(lines.size() > 8);
  for (const auto& [from, to] : lines) {
    CHECK(from.x_mm - from.y_mm == doctest::Approx(to.x_mm - to.y_mm));
    // The notch's middle (5, 7) is outside: no line's middle comes near it.
    const BoardPoint middle{(from.x_mm + to.x_mm) / 2, (from.y_mm + to.y_mm) / 2};
    CHECK(distance_mm(middle, {5, 8.5}) > 1);
  }
  CHECK(hatching_of({{0, 0}, {1, 0}}, 1).empty());
  CHECK(hatching_of({{0, 0}, {1e9, 0}, {0, 1e9}}, 1).empty());  // absurd: no hatching rather than no answer
}

TEST_CASE("shapes of marks that did not change are taken over, not made again") {
  MarkTable marks({part("1", "R1", {10, 10}), part("2", "R2", {20, 20}), part("3", "R3", {30, 30})});
  const auto before = shapes_of(marks, Side::top);
  const auto after = shapes_of(marks.with(part("2", "R2", {25, 20})), Side::top, before);
  REQUIRE(after.shapes.size() == 3);
  CHECK(after.shapes[0] == before.shapes[0]);
  CHECK(after.shapes[1] != before.shapes[1]);
  CHECK(after.shapes[2] == before.shapes[2]);
  CHECK(after.shapes[1]->middle.x_mm == doctest::Approx(25));
  CHECK(shapes_of(marks, Side::bottom).shapes.empty());
}

TEST_CASE("a click finds the smallest body around it, and a point mark before a body") {
  Mark probe;
  probe.id.text = "3";
  probe.kind = MarkKind::probe;
  probe.at = {31, 20};
  const auto shapes = shapes_of(MarkTable({part("1", "U1", {30, 20}, 20, 20), part("2", "C1", {30, 20}, 2, 1),
                                           std::make_shared<const Mark>(probe)}),
                                Side::top);
  const PhotoMap map = square_on();
  CHECK(mark_at(shapes, map, {1500, 1000}, 10)->id.text == "2");
  CHECK(mark_at(shapes, map, {1100, 1000}, 10)->id.text == "1");
  CHECK(mark_at(shapes, map, {1552, 1000}, 10)->id.text == "3");
  CHECK(mark_at(shapes, map, {100, 100}, 10) == nullptr);
  CHECK(marks_in(shapes, map, {1490, 990, 1510, 1010}) == std::vector<Id>{Id{"1"}, Id{"2"}});
}

TEST_CASE("a drawn part leaves its colour on the picture along the outline and nowhere else") {
  Raster raster;
  raster.width_px = 300;
  raster.height_px = 200;
  raster.rgba.assign(300 * 200 * 4, 128);
  for (std::size_t i = 3; i < raster.rgba.size(); i += 4) raster.rgba[i] = 255;
  OverlayOptions options;
  options.labels = LabelDensity::none;
  const auto shapes = shapes_of(MarkTable({part("1", "R1", {30, 20}, 20, 10)}), Side::top);
  REQUIRE(draw_scene_on(raster, overlay_scene(shapes, square_on(), options), 0.1));
  const auto at = [&](int x, int y) { return Colour{raster.pixel(x, y)[0], raster.pixel(x, y)[1], raster.pixel(x, y)[2]}; };
  CHECK(at(150, 75) == okabe_ito::sky_blue);     // upper edge: 25 mm
  CHECK(at(150, 100) == Colour{128, 128, 128});  // the middle stays as it was
  CHECK(at(10, 10) == Colour{128, 128, 128});
}

TEST_CASE("hostile names stay text in the SVG") {
  Mark mark = *part("1", "R1", {30, 20});
  mark.refdes = "</text><script>alert(1)</script>";
  const auto shapes = shapes_of(MarkTable({std::make_shared<const Mark>(mark)}), Side::top);
  SvgCanvas canvas;
  canvas.width_px = 3000;
  canvas.height_px = 2000;
  canvas.describes = "\" onload=\"x";
  const std::string svg = svg_of(overlay_scene(shapes, square_on(), {}), canvas);
  CHECK(svg.find("<script") == std::string::npos);
  CHECK(svg.find("&lt;script&gt;") != std::string::npos);
  CHECK(svg.find("\" onload=") == std::string::npos);
  CHECK(svg.find("class=\"mark m-1\"") != std::string::npos);
}
