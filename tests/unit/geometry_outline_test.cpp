#include <doctest/doctest.h>

#include "geometry/clearance.h"
#include "geometry/package_placing.h"
#include "geometry/pins.h"
#include "geometry/scale.h"

using namespace boardlore;

namespace {

Mark chip(const std::string& refdes, BoardPoint at, double length = 2, double width = 1, Side side = Side::top) {
  Mark mark;
  mark.id = {"00000000-0000-7000-8000-0000000000" + std::string(refdes.size() < 2 ? "0" : "") + refdes};
  mark.kind = MarkKind::part;
  mark.refdes = refdes;
  mark.at = at;
  mark.side = side;
  mark.place_error_mm = 0.05;
  mark.outline = {{-length / 2, -width / 2}, {length / 2, -width / 2}, {length / 2, width / 2}, {-length / 2, width / 2}};
  return mark;
}

Layer layer_of(std::vector<Mark> marks) {
  Layer layer;
  layer.board.width_mm = 100, layer.board.height_mm = 60;
  std::vector<MarkPtr> pointers;
  for (Mark& mark : marks) pointers.push_back(std::make_shared<const Mark>(std::move(mark)));
  layer.marks = MarkTable(std::move(pointers));
  return layer;
}

Package quad48() {
  Package package;
  package.family = PackageFamily::quad;
  package.name = "QFP-48";
  package.pins = 48;
  package.pitch_mm = 0.5, package.span_mm = 8.4;
  package.body_length_mm = package.body_width_mm = 7;
  return package;
}

}  // namespace

TEST_CASE("an outline is turned about its place, then moved; quarter turns keep round numbers") {
  Mark mark = chip("U1", {10, 20});
  mark.rotation_deg = 90;
  const auto outline = outline_of(mark);
  CHECK(outline[0] == BoardPoint{10.5, 19});
  mark.rotation_deg = -270;
  CHECK(outline_of(mark) == outline);
  mark.outline.clear();
  mark.radius_mm = 3;
  CHECK(outline_of(mark, 8).size() == 8);
  CHECK(contains(shape_of(mark), {12.9, 20}));
  CHECK(area_mm2(shape_of(mark)) == doctest::Approx(28.2743338823));
  mark.radius_mm.reset();
  CHECK(outline_of(mark) == std::vector<BoardPoint>{{10, 20}});
}

TEST_CASE("a package's outline covers its leads as well as its body") {
  Mark mark = chip("U2", {0, 0});
  mark.outline.clear();
  mark.package = quad48();
  const BoundingBox box = bounding_box(shape_of(mark));
  CHECK(box.low.x_mm == doctest::Approx(-4.2));
  CHECK(box.high.y_mm == doctest::Approx(4.2));
}

TEST_CASE("packages that cannot be are refused") {
  Package package = quad48();
  package.pins = 47;
  CHECK_FALSE(pin_pattern(package));
  package.pins = 2000000000;
  CHECK_FALSE(pin_pattern(package));
  package.pins = 48, package.pitch_mm = 0;
  CHECK(to_text(pin_pattern(package).problem()) == "at package QFP-48: expected a pitch in mm, found none");
  package.pitch_mm = std::nan("");
  CHECK_FALSE(pin_pattern(package));
  package = {};
  package.family = PackageFamily::grid_array;
  package.rows = package.columns = 100000;
  CHECK_FALSE(pin_pattern(package));
  package.family = PackageFamily::own_outline;
  CHECK(pin_pattern(package)->empty());
}

TEST_CASE("two clicked pads place a package from either side, whatever its turn") {
  for (const Side side : {Side::top, Side::bottom})
    for (double turn = 0; turn < 360; turn += 15) {
      Mark truth;
      truth.kind = MarkKind::part;
      truth.side = side;
      truth.at = {31.5, 18.25};
      truth.rotation_deg = turn;
      truth.package = quad48();
      const auto pins = pins_of(truth);
      const auto click = pads_to_click(quad48());
      REQUIRE(click);
      CHECK((*click)[0] == "1");
      CHECK((*click)[1] == "25");
      const auto placed_part = package_from_two_pads(quad48(), side, {"1", (*pins)[0].at}, {"25", (*pins)[24].at}, 0.03);
      REQUIRE(placed_part);
      CHECK(distance_mm(placed_part->at, truth.at) < 1e-9);
      CHECK(std::remainder(placed_part->rotation_deg - turn, 360) == doctest::Approx(0).epsilon(1e-9));
      CHECK(placed_part->square_rotation_deg.has_value() == (std::fmod(turn, 90) == 0));
      CHECK(placed_part->pitch_fits);
      CHECK(placed_part->notes.empty());
    }
}

TEST_CASE("a pitch that does not fit is said, with the usual one near it") {
  Mark truth;
  truth.package = quad48();
  truth.package->pitch_mm = 0.4, truth.package->span_mm = 8.4 * 0.8;
  const auto pins = pins_of(truth);
  const auto wrong = package_from_two_pads(quad48(), Side::top, {"1", (*pins)[0].at}, {"25", (*pins)[24].at}, 0.03);
  REQUIRE(wrong);
  CHECK_FALSE(wrong->pitch_fits);
  CHECK(wrong->pitch_seen_mm == doctest::Approx(0.4));
  REQUIRE(wrong->notes.size() >= 2);
  CHECK(wrong->notes[0] == "the clicked pads fit a pitch of 0.400 mm, the package has 0.5 mm");
  CHECK(wrong->notes[1] == "a usual pitch near that is 0.4 mm");
  CHECK_FALSE(package_from_two_pads(quad48(), Side::top, {"1", {0, 0}}, {"49", {1, 1}}, 0.03));
  CHECK_FALSE(package_from_two_pads(quad48(), Side::top, {"1", {0, 0}}, {"2", {0, 0}}, 0.03));
}

TEST_CASE("clearances: between outlines, sorted, the errors taken off, both sides") {
  Mark keepout = chip("", {0, 12}, 4, 4);
  keepout.id = {"00000000-0000-7000-8000-00000000ffff"};
  keepout.kind = MarkKind::keepout;
  keepout.outline.clear();
  keepout.radius_mm = 2;
  keepout.reason = "heat", keepout.advice = "shield", keepout.max_temperature_c = 105;
  const Layer layer = layer_of({chip("U1", {0, 0}, 4, 4), chip("C1", {4, 0}), chip("C2", {-6, 0}), chip("R9", {0, -3.5}, 2, 1, Side::bottom),
                                chip("J8", {60, 0}), keepout});
  ClearanceQuestion question;
  question.nozzle_diameter_mm = 8;
  question.registration_error_mm = [](BoardPoint) { return 0.1; };
  const auto report = clearances(layer, chip("U1", {}).id, question);
  REQUIRE(report);
  CHECK_FALSE(report->nozzle_travels);
  REQUIRE(report->found.size() == 4);
  const auto& found = report->found;
  CHECK(found[0].label == "C1");
  CHECK(found[0].distance_mm == doctest::Approx(1));
  CHECK(found[0].error_mm == doctest::Approx(0.2));
  CHECK(found[0].at_least_mm == doctest::Approx(0.8));
  CHECK(found[0].from_axis_mm == doctest::Approx(3));
  CHECK(found[0].heated);
  CHECK(found[1].label == "R9");
  CHECK(found[1].other_side);
  CHECK(found[1].heated);
  CHECK(found[2].label == "C2");
  CHECK_FALSE(found[2].heated);  // 5 mm from the axis, 4 mm circle
  CHECK(found[3].label == "keep-out (heat)");
  CHECK(found[3].distance_mm == doctest::Approx(8));
  CHECK(found[3].max_temperature_c == 105.0);
}

TEST_CASE("what the error could bring into the circle counts as heated; a large part makes the nozzle travel") {
  const Layer layer = layer_of({chip("U1", {0, 0}, 4, 4), chip("C1", {5.15, 0})});
  ClearanceQuestion question;
  question.nozzle_diameter_mm = 8;
  CHECK(clearances(layer, chip("U1", {}).id, question)->found[0].heated == false);  // 4.15 - 0.1
  question.registration_error_mm = [](BoardPoint) { return 0.06; };
  CHECK(clearances(layer, chip("U1", {}).id, question)->found[0].heated);
  const Layer wide = layer_of({chip("U1", {0, 0}, 20, 4), chip("C1", {13, 0})});
  const auto report = clearances(wide, chip("U1", {}).id, question);
  CHECK(report->nozzle_travels);
  CHECK(report->found[0].heated);
}

TEST_CASE("touching, overlapping and containing give 0; without scale there is no answer") {
  const Shape big{{{0, 0}, {10, 0}, {10, 10}, {0, 10}}, 0}, inner{{{4, 4}, {4, 5}, {5, 5}, {5, 4}}, 0}, beside{{{10, 0}, {12, 0}, {12, 2}}, 0};
  CHECK(outline_distance_mm(big, inner) == 0);
  CHECK(outline_distance_mm(inner, big) == 0);
  CHECK(outline_distance_mm(big, beside) == 0);
  CHECK(outline_distance_mm({{{5, 5}}, 1}, big) == 0);
  // Corners on one line, or the same corner three times, as a slip of the hand makes them.
  CHECK(outline_distance_mm({{{20, 0}, {21, 0}, {22, 0}}, 0}, big) == doctest::Approx(10));
  CHECK(outline_distance_mm({{{20, 0}, {20, 0}, {20, 0}}, 0}, big) == doctest::Approx(10));

  Layer layer = layer_of({chip("U1", {0, 0}), chip("C1", {4, 0})});
  layer.board.width_mm.reset();
  ClearanceQuestion question;
  const auto none = clearances(layer, chip("U1", {}).id, question);
  REQUIRE_FALSE(none);
  CHECK(none.problem().found == "board has no scale");
  question.scale_known = true;
  CHECK(clearances(layer, chip("U1", {}).id, question));
  CHECK_FALSE(clearances(layer, Id{"nobody"}, question));
  question.nozzle_diameter_mm = -1;
  CHECK_FALSE(clearances(layer, chip("U1", {}).id, question));
}

TEST_CASE("one known distance gives a provisional scale, from either side") {
  const auto top = scale_from_distance({100, 500}, {600, 500}, 25, Side::top, 2000, 1000, BoardCorners{{50, 950}, {1950, 50}});
  REQUIRE(top);
  CHECK(top->mm_per_px == doctest::Approx(0.05));
  CHECK(top->width_mm == doctest::Approx(95));
  CHECK(top->height_mm == doctest::Approx(45));
  CHECK(top->relative_error == doctest::Approx(2.8284271247 / 500));
  CHECK(top->notes.front().find("provisional") == 0);
  const auto bottom = scale_from_distance({100, 500}, {600, 500}, 25, Side::bottom, 2000, 1000);
  REQUIRE(bottom);
  CHECK(bottom->registration.mirrored);
  CHECK(bottom->registration.board_from_photo({2000, 1000})->x_mm == doctest::Approx(0));
  CHECK(bottom->registration.board_from_photo({0, 0})->x_mm == doctest::Approx(100));
  const auto map = PhotoMap::from(bottom->registration);
  REQUIRE(map);
  CHECK(map->board_from({1000, 500})->x_mm == doctest::Approx(50));
  CHECK(*scale_correction(*map, {0, 0}, {1000, 0}, 60) == doctest::Approx(1.2));
  CHECK_FALSE(scale_from_distance({100, 500}, {110, 500}, 25, Side::top, 2000, 1000));
  CHECK_FALSE(scale_from_distance({100, 500}, {600, 500}, 0, Side::top, 2000, 1000));
  CHECK_FALSE(scale_from_distance({100, 500}, {600, 500}, 25, Side::top, 2000, 1000, BoardCorners{{1950, 50}, {50, 950}}));
}
