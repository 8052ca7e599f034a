// Netlists for bare-board test, IPC-D-356 and 356A: every point a probe can land on, with its net.
//
// For a technician without a schematic this is the next best thing: which pins hang together. Records are
// lines of 80 columns; the columns are those of reference facts 6.1 (read in an open parser's source and
// in published sample lines, not in the paid standard). Writers disagree with the format on units: whatever
// was taken is said. Conductor and outline records (378, 379, 389) are counted and passed over.
#pragma once

#include "import/placement_table.h"

namespace boardlore {

struct NetlistPoint {
  int line = 0;
  std::string net;     // empty: not connected ("N/C")
  std::string refdes;  // empty for a via
  std::string pin;
  bool is_via = false;
  bool is_hole = false;    // through hole: can be reached from both sides where `access` is 0
  bool mid_point = false;  // not an end of the net
  std::optional<double> hole_mm;
  std::optional<bool> plated;
  int access = 0;  // 0: both sides; 1: top; n: layer n, the bottom being the layer count
  ImportPoint at;
  std::optional<double> width_mm, height_mm;
  std::optional<double> rotation_deg;
  bool operator==(const NetlistPoint&) const = default;
};

struct Netlist {
  std::vector<NetlistPoint> points;  // in file order
  int layer_count = 0;               // the highest access number seen: taken as the bottom
  std::string job;
  std::vector<RefusedRow> refused;
  std::size_t refused_count = 0;
  std::vector<std::string> remarks;
};

enum class NetlistUnit { inch_degrees, mm_degrees, inch_radians };  // CUST 0, CUST 1 or SI, CUST 2

// `unit` overrides what the file says. Refuses a file without a single point.
Result<Netlist> read_netlist(std::string_view bytes, std::string_view file,
                             std::optional<NetlistUnit> unit = std::nullopt);

// By the first records: parameters, comments and three-digit test records at the start of lines.
bool looks_like_netlist(std::string_view bytes);

// nullopt: reached from both sides, or an inner layer.
std::optional<Side> side_of(const NetlistPoint& point, const Netlist& netlist);

// Test records as the format writes them, in CUST 1 (0.001 mm), for tests and for boards drawn by hand.
std::string write_netlist(const Netlist& netlist);

}  // namespace boardlore
