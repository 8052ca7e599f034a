// The net that is lit: its points over the photo, on the card, and what was read at any of them.
#pragma once

#include "bench/photo_view.h"

namespace boardlore {

// Rings on every point of the lit net in this pane; filled where the point is on the side in view, open where it
// is on the other side, seen through the board.
void draw_net(const Scene& scene, const BenchState& state, const PaneLook& look);

struct NetRow {
  std::string name;   // "U3.7"
  Side side = Side::top;
  Id mark;
  bool exact = true;
  std::string reading;  // the newest of that point; empty: none
};
// Pure; those with readings first.
std::vector<NetRow> net_rows(const std::vector<NetPoint>& points, const Job* job);

// On the card of a mark: its nets as buttons, and the points of the one that is lit.
void draw_nets(const Scene& scene, BenchState& state, const Mark& mark);

}  // namespace boardlore
