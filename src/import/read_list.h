// One list, of whatever kind: understood, tied to the board's frame, planned. What the command and the window share.
//
// Nothing here is taken yet: each step says what it made of the list, and what it could not, before an edit is made.
#pragma once

#include "import/import_plan.h"

namespace boardlore {

// What a person said over what the list says; empty: as the list has it.
struct ListOptions {
  std::string file, kind = "auto", units, decimal, side, columns, frame = "find", mirror = "find";
  std::vector<std::string> ties;  // "R1=12.5,30": where a part of the list lies on the board, in mm
  double max_residual_mm = 1.0;   // common practice, no source: half the pitch of a 0805's lands
};

// What a list of any kind came to.
struct Understood {
  std::string kind;  // "placement", "netlist", "points"
  std::size_t rows = 0, refused_count = 0;
  std::vector<std::string> columns, remarks;
  std::vector<RefusedRow> refused;
  std::vector<TiePoint> common;
  PlacementTable placement;
  Netlist netlist;
  PointTable points;
};
Result<Understood> understand_list(std::string_view bytes, const ListOptions& options, const Layer& layer);

struct TiedList {
  FrameTie tie;
  std::vector<TiePoint> points;
  bool is_same_frame = false;
};
// A finding where fewer than two places are known.
Result<TiedList> tie_list(const ListOptions& options, const Understood& list);
// How it lies, for people: turn, mirror, scale, residual, what spoils it, what the scale suggests.
std::vector<std::string> remarks_on(const TiedList& tied);

ImportPlan plan_list(const Layer& layer, const Understood& list, const TiedList& tied, const NewId& new_id, Timestamp now);

}  // namespace boardlore
