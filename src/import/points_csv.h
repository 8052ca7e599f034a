// Marks as a plain CSV (RFC 4180), out and in again: for a spreadsheet, a script, another shop's list.
//
// Columns out: id,kind,refdes,side,x_mm,y_mm,rotation_deg,radius_mm,value,reason,text. In: any order, X and Y
// needed, units as in placement tables. A text cell that a spreadsheet would run as a formula is written
// with an apostrophe before it, which is taken off again when it is read.
#pragma once

#include "domain/layer.h"
#include "import/placement_table.h"

namespace boardlore {

struct PointRow {
  int line = 0;
  std::string id;                      // text of the id column; empty: none
  MarkKind kind = MarkKind::probe;
  std::string refdes, value, reason, text;
  Side side = Side::top;
  ImportPoint at;
  std::optional<double> rotation_deg, radius_mm;
};

struct PointTable {
  std::vector<PointRow> rows;
  std::vector<RefusedRow> refused;
  std::size_t refused_count = 0;
  std::vector<std::string> remarks;
};

Result<PointTable> read_points(std::string_view bytes, std::string_view file, const PlacementOptions& options = {});

// In id order; numbers in the shortest form that reads back the same; lines end in CR LF as RFC 4180 says.
std::string write_marks_csv(const Layer& layer);

}  // namespace boardlore
