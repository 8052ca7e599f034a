// From an understood list and a frame tie to edits on a board, shown before anything is taken.
//
// Importing again is the usual case: a new revision of the list over a board that people have worked on.
// So a part that is there already keeps its id, notes, limits, readings' mark, outline and markings; the
// list changes only what a list knows: place, side, rotation, value, nets.
#pragma once

#include <functional>

#include "domain/layer.h"
#include "editing/edit.h"
#include "import/frame_tie.h"
#include "import/ipc_d_356.h"
#include "import/points_csv.h"

namespace boardlore {

struct ImportPlan {
  std::vector<Edit> edits;              // one undo step
  std::vector<std::string> added, changed;  // names, in the list's order
  std::size_t unchanged = 0;
  std::vector<RefusedRow> refused;      // places beyond what a board can have
  std::vector<std::string> remarks;
};

using NewId = std::function<Id()>;

// Where the parts of a netlist are: the middle of each part's points.
struct NetlistPart {
  std::string refdes;
  int line = 0;
  ImportPoint middle;
  std::vector<const NetlistPoint*> points;
};
std::vector<NetlistPart> parts_of(const Netlist& netlist);

// Parts and probe points on the board that the list names too (a designator that is on the board twice is
// left out: there is no telling which is meant).
std::vector<TiePoint> common_places(const Layer& layer, const PlacementTable& table);
std::vector<TiePoint> common_places(const Layer& layer, const std::vector<NetlistPart>& parts);

ImportPlan plan_placement(const Layer& layer, const PlacementTable& table, const FrameTie& tie, const NewId& new_id,
                          Timestamp now);
// Nets go to the pins of parts; a part that is not there is placed at the middle of its points with their
// bounding box as outline; a test point (TP...) of one pin becomes a probe mark. Vias are not placed.
ImportPlan plan_netlist(const Layer& layer, const Netlist& netlist, const FrameTie& tie, const NewId& new_id,
                        Timestamp now);
ImportPlan plan_points(const Layer& layer, const PointTable& table, const FrameTie& tie, const NewId& new_id,
                       Timestamp now);

}  // namespace boardlore
