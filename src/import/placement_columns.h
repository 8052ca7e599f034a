// Which column of a placement table is which, from its header's words, and what a side column says.
#pragma once

#include "domain/frames.h"
#include "import/delimited_table.h"

namespace boardlore {

enum class PlacementColumn { refdes, x, y, rotation, side, value, package };
constexpr std::size_t placement_column_count = 7;
std::string_view placement_column_name(PlacementColumn column);

struct HeaderMatch {
  std::optional<std::size_t> index[placement_column_count];  // by PlacementColumn
  std::optional<LengthUnit> unit;                            // from "X (mm)"
  bool units_differ = false;                                 // X says one unit and Y another
  bool mirror_column = false;  // the side column says whether the part is mirrored
  std::string not_centre;      // "Ref X": the column does not name the body's centre; empty: it does
  int found = 0;
  bool usable() const { return index[0] && index[1] && index[2]; }
};

HeaderMatch match_header(const std::vector<std::string>& cells);

// How the words of a side column read; decided over the whole column, since 1 is the top in one table and
// the bottom in another.
struct SideReading {
  bool digits = false;       // the column counts sides
  std::string bottom_digit;  // "1" or "2"
  std::string remark;        // empty: nothing was inferred
};
SideReading read_sides(const std::vector<std::string_view>& cells, bool mirror_column);
std::optional<Side> side_of(std::string_view cell, const SideReading& reading, bool mirror_column);

}  // namespace boardlore
