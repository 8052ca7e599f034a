// Where every pin of a part lies, and what it is called.
//
// A number typed at the bench ("U3.37") must land on the right pin of a photo that shows the board turned or
// from below. The pattern is drawn once, for 0 degrees seen from the top; a part on the bottom is the same
// pattern mirrored left to right (x changes sign) and then turned; rotation is counter-clockwise seen from the
// top, whatever the side. Zero orientation is IPC-7351A level A (pin 1 of an IC upper left; the level B of
// IEC 61188-7 is this turned by 90 degrees counter-clockwise):
//   two-terminal   pin 1 left: cathode, or the positive end
//   sot            as dual-row; 3 leads: 1 upper left, 2 lower left, 3 right
//   dual-row       1 upper left, down the left, up the right
//   quad           1 uppermost on the left, counter-clockwise; PLCC: 1 in the middle of the top side
//   grid-array     A1 upper left, letters down, numbers right; letters I O Q S X Z left out (JEDEC JEP95)
//   connector      1 at the top; one row down; two rows across (1 left, 2 right, 3 left ...) or around
//   module         as dual-row
#pragma once

#include "domain/mark.h"
#include "domain/problem.h"

namespace boardlore {

struct PatternPin {
  std::string name;
  Offset at;  // from the package's centre, at 0 degrees, seen from the top
};
struct Pin {
  std::string name;
  BoardPoint at;
};

// Pins named in `missing` are left out and keep their number. An own outline has none: empty, not a Problem.
// Refused: counts that cannot be (0, over 10,000, a quad that is not a multiple of four), a pattern that needs a
// pitch and has none.
Result<std::vector<PatternPin>> pin_pattern(const Package& package);
// Empty for a mark without a package.
Result<std::vector<Pin>> pins_of(const Mark& mark);
// Where pin 1 (A1) lies: as marked by hand, else from the package. nullopt: not marked.
std::optional<BoardPoint> pin1_of(const Mark& mark);
// nullopt: no pins.
std::optional<std::size_t> nearest_pin(const std::vector<Pin>& pins, BoardPoint at);

// Row of a grid array from 1: 1 A, 8 H, 9 J, 20 Y, 21 AA.
std::string grid_row_letters(int row);
std::optional<int> grid_row_number(std::string_view letters);

}  // namespace boardlore
