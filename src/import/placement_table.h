// Placement tables (centroid files, XYRS): where each part's centre is, how it is turned, on which side.
//
// There is no standard: every layout tool and every assembler has its own columns, units and words. The
// idea: try each way of cutting, take the one whose header names a designator, an X and a Y; say in a
// remark whatever the file did not say itself (units, side, decimal sign), and list each row that was not
// taken with its line and reason. Nothing is guessed in silence and every guess can be overridden.
// Column words and side words: reference list of common practice, no single source.
#pragma once

#include "domain/mark.h"
#include "import/delimited_table.h"

namespace boardlore {

// A point in the frame of the file it came from, in mm; its origin and handedness are not known yet.
struct ImportPoint {
  double x_mm = 0, y_mm = 0;
  bool operator==(const ImportPoint&) const = default;
};
inline double x_of(ImportPoint p) { return p.x_mm; }
inline double y_of(ImportPoint p) { return p.y_mm; }

struct PlacementRow {
  int line = 0;
  std::string refdes, value, package;
  ImportPoint at;
  std::optional<double> rotation_deg;  // [0, 360), counter-clockwise in the file's frame; nullopt: not said
  Side side = Side::top;
  bool operator==(const PlacementRow&) const = default;
};

// What a person said to override what the file says or leaves open.
struct PlacementOptions {
  std::optional<LengthUnit> unit;  // over the header, not over a unit written in a cell
  std::optional<DecimalSign> decimal;
  std::optional<Side> side;          // for a table without a side column
  std::vector<std::string> columns;  // "refdes", "x", "y", "rotation", "side", "value", "package", "-"
};

struct PlacementTable {
  std::vector<PlacementRow> rows;   // in file order; designators unique
  std::vector<RefusedRow> refused;  // at most max_refused_rows_kept
  std::size_t refused_count = 0;
  std::vector<std::string> remarks;  // everything inferred, for people
  std::vector<std::string> columns;  // "refdes = Designator", as understood
  LengthUnit unit = LengthUnit::mm;
  bool unit_inferred = false;
  Delimiter delimiter = Delimiter::comma;
};

// Refuses a file with no designator, X and Y columns, or with no row understood.
Result<PlacementTable> read_placement_table(std::string_view bytes, std::string_view file,
                                            const PlacementOptions& options = {});

}  // namespace boardlore
