// The invented board: a greenhouse controller "GC-12" by the invented maker "Brackenwick".
// One list says what sits where; pictures, truth and tests are all made from it.
// Convention at 0 degrees, seen from the part's own side: two-terminal parts lie along x with
// pin 1 (cathode, positive) at -x; dual-row, quad and SOT have pin 1 at the upper left and
// count counter-clockwise; connectors run along x with pin 1 at -x in the lower row.
// A part on the bottom is mirrored in x first, then turned counter-clockwise as seen from the top.
#pragma once
#include <string>
#include <vector>

#include "camera.h"

namespace demo_board {

inline constexpr double board_width_mm = 148.0;
inline constexpr double board_height_mm = 96.0;

enum class Family {
  chip_resistor, chip_capacitor, moulded_tantalum, can_electrolytic, diode, led, sot23, dual_row,
  quad_flat, quad_no_lead, screw_terminal, pin_header, shrouded_header, coin_cell_holder, inductor,
  fuse, crystal, test_point, radio_module
};

struct Part {
  std::string refdes;
  Family family = Family::chip_resistor;
  std::string package;
  int pins = 2;
  double pitch_mm = 0.0;
  double span_mm = 0.0;         // between opposite rows (across x for dual-row); 0 where there is one row
  double length_mm = 0.0;       // body along x at 0 degrees
  double width_mm = 0.0;        // body along y at 0 degrees
  double height_mm = 0.0;
  Point at_mm;
  double rotation_deg = 0.0;    // counter-clockwise seen from the top
  Side side = Side::top;
  std::string marking;
  std::string pin1;             // what tells pin 1 or polarity; empty where there is none
};

struct Target {                 // fiducial (bare copper dot in a clear ring) or mounting hole
  std::string name;
  Point at_mm;
  bool hole = false;
  Side side = Side::top;        // holes are on both sides
};

const std::vector<Part>& parts();
const std::vector<Target>& targets();
const std::vector<Point>& outline_mm();  // counter-clockwise seen from the top
const char* family_name(Family family);

inline constexpr double fiducial_dot_mm = 1.2;   // diameter
inline constexpr double fiducial_clear_mm = 2.8;
inline constexpr double hole_mm = 3.2;
inline constexpr double hole_land_mm = 6.0;

}  // namespace demo_board
