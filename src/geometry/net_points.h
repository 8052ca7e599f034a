// Every point of a net: where else the same copper can be probed, on either side of the board.
//
// A pin under a part, or one that a probe slips off, has neighbours on its net that are easier to reach; what is read
// there is read here. Without a schematic the net comes from an imported netlist or was traced by hand.
#pragma once

#include <memory>
#include <string_view>
#include <vector>

#include "domain/layer.h"

namespace boardlore {

struct NetPoint {
  MarkPtr mark;
  std::string pin;
  BoardPoint at;
  bool exact = true;  // false: the part's pins are not known, and this is the middle of the part
};

// In the marks' order; none for an empty name. Names are compared as they are written: nets differ by case.
std::vector<NetPoint> points_of_net(const Layer& layer, std::string_view net);

}  // namespace boardlore
