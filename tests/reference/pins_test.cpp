// Pin numbers and places against package drawings' published rules.
#include <doctest/doctest.h>

#include <algorithm>

#include "geometry/outline.h"
#include "geometry/pins.h"

using namespace boardlore;

namespace {

Mark part(PackageFamily family, int pins, double pitch, double span, Side side = Side::top, double rotation_deg = 0) {
  Mark mark;
  mark.kind = MarkKind::part;
  mark.side = side;
  mark.rotation_deg = rotation_deg;
  mark.package = Package{};
  mark.package->family = family;
  mark.package->pins = pins;
  mark.package->pitch_mm = pitch;
  mark.package->span_mm = span;
  return mark;
}

BoardPoint at(const Mark& mark, const std::string& name) {
  const auto pins = pins_of(mark);
  REQUIRE(pins);
  for (const Pin& pin : *pins)
    if (pin.name == name) return pin.at;
  FAIL("no pin " << name);
  return {};
}

void check_pin(const Mark& mark, const std::string& name, double x_mm, double y_mm) {
  CAPTURE(name);
  CHECK(distance_mm(at(mark, name), {x_mm, y_mm}) < 1e-12);
}

double ring_area(const Mark& mark) {
  const auto pins = pins_of(mark);
  REQUIRE(pins);
  std::vector<BoardPoint> ring;
  for (const Pin& pin : *pins) ring.push_back(pin.at);
  return signed_area_mm2(ring);
}

}  // namespace

TEST_CASE("dual-row and quad pins lie where the drawings' rule puts them") {
  // Source: IPC-7351A level A (pin 1 upper left), counter-clockwise seen from the top, as published pages describe
  // it; places worked by hand for SOIC-8 (pitch 1.27, row span 5.40) and QFP-48 (pitch 0.5, span 8.4).
  const Mark soic = part(PackageFamily::dual_row, 8, 1.27, 5.4);
  check_pin(soic, "1", -2.7, 1.905);
  check_pin(soic, "4", -2.7, -1.905);
  check_pin(soic, "5", 2.7, -1.905);
  check_pin(soic, "8", 2.7, 1.905);
  const Mark qfp = part(PackageFamily::quad, 48, 0.5, 8.4);
  const struct { const char* pin; double x, y; } corners[] = {{"1", -4.2, 2.75}, {"12", -4.2, -2.75}, {"13", -2.75, -4.2}, {"24", 2.75, -4.2},
                                                             {"25", 4.2, -2.75}, {"36", 4.2, 2.75},   {"37", 2.75, 4.2},   {"48", -2.75, 4.2}};
  for (const auto& corner : corners) check_pin(qfp, corner.pin, corner.x, corner.y);
}

TEST_CASE("the sense of counting: positive from the top, negative mirrored") {
  // Source: shoelace areas of the pin centres in order, computed: QFP-48 66.355, SOIC-8 20.574.
  CHECK(ring_area(part(PackageFamily::quad, 48, 0.5, 8.4)) == doctest::Approx(66.355).epsilon(1e-9));
  CHECK(ring_area(part(PackageFamily::dual_row, 8, 1.27, 5.4)) == doctest::Approx(20.574).epsilon(1e-9));
  CHECK(ring_area(part(PackageFamily::quad, 48, 0.5, 8.4, Side::bottom)) == doctest::Approx(-66.355).epsilon(1e-9));
  CHECK(ring_area(part(PackageFamily::dual_row, 8, 1.27, 5.4, Side::bottom, 37)) == doctest::Approx(-20.574).epsilon(1e-9));
}

TEST_CASE("a 14-pin DIP, notch up: 1 to 7 down the left, 8 to 14 up the right; left-out leads keep their numbers") {
  Mark dip = part(PackageFamily::dual_row, 14, 2.54, 7.62);
  check_pin(dip, "1", -3.81, 7.62);
  check_pin(dip, "7", -3.81, -7.62);
  check_pin(dip, "8", 3.81, -7.62);
  check_pin(dip, "14", 3.81, 7.62);
  dip.package->missing = {"3", "12"};
  CHECK(pins_of(dip)->size() == 12);
  check_pin(dip, "14", 3.81, 7.62);
}

TEST_CASE("turned by 90 degrees level A becomes level B: pin 1 lower left") {
  // Source: IEC 61188-7:2009 level B (pin 1 lower left), rotation counter-clockwise positive.
  const Mark soic = part(PackageFamily::dual_row, 8, 1.27, 5.4, Side::top, 90);
  check_pin(soic, "1", -1.905, -2.7);
  check_pin(soic, "8", -1.905, 2.7);
}

TEST_CASE("PLCC-44: pin 1 in the middle of the top side, then counter-clockwise") {
  // Source: JEDEC MO-047 numbering (from memory): 11 a side, pins 7 to 17 down the left side.
  Mark plcc = part(PackageFamily::quad, 44, 1.27, 16.5);
  plcc.package->pin1_mid_side = true;
  check_pin(plcc, "1", 0, 8.25);
  check_pin(plcc, "2", -1.27, 8.25);
  check_pin(plcc, "6", -6.35, 8.25);
  check_pin(plcc, "7", -8.25, 6.35);
  check_pin(plcc, "17", -8.25, -6.35);
  check_pin(plcc, "18", -6.35, -8.25);
  check_pin(plcc, "39", 8.25, 6.35);
  check_pin(plcc, "40", 6.35, 8.25);
  check_pin(plcc, "44", 1.27, 8.25);
}

TEST_CASE("grid arrays: row letters without I O Q S X Z, in bijective base 20") {
  // Source: IPC-7351 14.2.5 as cited in an IPC mailing list; JEDEC JEP95 (from memory).
  const struct { int row; const char* letters; } table[] = {{1, "A"},   {8, "H"},   {9, "J"},   {13, "N"}, {14, "P"}, {15, "R"},  {16, "T"},
                                                            {17, "U"},  {19, "W"},  {20, "Y"},  {21, "AA"}, {22, "AB"}, {29, "AJ"}, {30, "AK"},
                                                            {40, "AY"}, {41, "BA"}, {60, "BY"}, {420, "YY"}, {421, "AAA"}};
  for (const auto& row : table) {
    CHECK(grid_row_letters(row.row) == row.letters);
    CHECK(grid_row_number(row.letters) == row.row);
  }
  for (int row = 1; row < 3000; ++row) REQUIRE(grid_row_number(grid_row_letters(row)) == row);
  for (const char* wrong : {"", "I", "O", "Q", "S", "X", "Z", "A1", "AI"}) CHECK_FALSE(grid_row_number(wrong));
}

TEST_CASE("a ball grid seen from the top: A1 upper left, letters down, numbers right; from below mirrored") {
  Mark grid = part(PackageFamily::grid_array, 0, 0.8, 0);
  grid.package->rows = 9, grid.package->columns = 12;
  grid.package->missing = {"E6"};
  CHECK(pins_of(grid)->size() == 107);
  check_pin(grid, "A1", -4.4, 3.2);
  check_pin(grid, "A12", 4.4, 3.2);
  check_pin(grid, "J1", -4.4, -3.2);  // the ninth row is J
  grid.side = Side::bottom;
  check_pin(grid, "A1", 4.4, 3.2);
}

TEST_CASE("SOT-23: with the single lead up, 1 lower left, 2 lower right, 3 top") {
  // Source: maker's drawings (from memory). Zero orientation has the single lead right, so it is turned by 90.
  Mark sot = part(PackageFamily::sot, 3, 0.95, 2.0, Side::top, 90);
  check_pin(sot, "1", -0.95, -1);
  check_pin(sot, "2", 0.95, -1);
  check_pin(sot, "3", 0, 1);
  const Mark five = part(PackageFamily::sot, 5, 0.95, 2.6);
  check_pin(five, "1", -1.3, 0.95);
  check_pin(five, "3", -1.3, -0.95);
  check_pin(five, "4", 1.3, -0.95);
  check_pin(five, "5", 1.3, 0.95);
  Mark tabbed = part(PackageFamily::sot, 4, 2.3, 6.3);
  tabbed.package->name = "SOT-223";
  check_pin(tabbed, "2", -3.15, 0);
  check_pin(tabbed, "4", 3.15, 0);
}

TEST_CASE("two-terminal parts: pin 1 (cathode, positive end) left at 0 degrees") {
  // Source: IPC-7351 zero orientation as published pages describe it.
  Mark chip = part(PackageFamily::two_terminal, 2, 0, 1.6);
  chip.at = {10, 20};
  check_pin(chip, "1", 9.2, 20);
  check_pin(chip, "2", 10.8, 20);
  chip.rotation_deg = 90;
  check_pin(chip, "1", 10, 19.2);
  chip.side = Side::bottom;
  check_pin(chip, "1", 10, 20.8);
}

TEST_CASE("connectors: one row, two rows across and around") {
  Mark plug = part(PackageFamily::connector, 5, 1.25, 0);
  check_pin(plug, "1", 0, 2.5);
  check_pin(plug, "5", 0, -2.5);
  plug = part(PackageFamily::connector, 6, 2.54, 2.54);
  plug.package->row_count = RowCount::across;
  check_pin(plug, "1", -1.27, 2.54);
  check_pin(plug, "2", 1.27, 2.54);
  check_pin(plug, "5", -1.27, -2.54);
  plug.package->row_count = RowCount::around;
  check_pin(plug, "3", -1.27, -2.54);
  check_pin(plug, "4", 1.27, -2.54);
}
