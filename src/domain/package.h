// The package of a part: enough to say where every pin lies and what its number is.
#pragma once

#include <string>
#include <vector>

#include "domain/id.h"

namespace boardlore {

// Written to files by name (package_family_name).
enum class PackageFamily {
  two_terminal,  // chip, moulded, can, diode: pin 1 left at 0 degrees
  sot,           // SOT-23 and kin
  dual_row,      // SOIC, SSOP, TSSOP, DIP, SON
  quad,          // QFP, QFN; PLCC with pin 1 in the middle of a side
  grid_array,    // BGA: JEDEC row letters
  connector,     // one row, or two rows numbered across or around
  module,        // an outline with a dual row of lands, numbered as dual_row
  own_outline    // no pins computed
};

// How the two rows of a connector count.
enum class RowCount { one_row, across, around };

struct Package {
  PackageFamily family = PackageFamily::own_outline;
  std::string name;                        // "SOIC-8", "0603 (imperial)"
  int pins = 0;                            // places in the pattern, left-out ones included
  int rows = 0, columns = 0;               // grid_array
  double pitch_mm = 0;
  double span_mm = 0;                      // between the centres of opposite rows; across x for dual_row
  double span_y_mm = 0;                    // quad: between bottom and top rows; 0: as span_mm
  double body_length_mm = 0, body_width_mm = 0;  // along x and along y at 0 degrees
  RowCount row_count = RowCount::one_row;
  bool pin1_mid_side = false;              // PLCC: pin 1 in the middle of the top side
  std::vector<std::string> missing;        // balls or leads that are not there, by name
  std::string source;                      // where the numbers come from
  Unknown unknown;
  bool operator==(const Package&) const = default;
};

}  // namespace boardlore
