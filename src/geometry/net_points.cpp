#include "geometry/net_points.h"

#include "geometry/pins.h"

namespace boardlore {

std::vector<NetPoint> points_of_net(const Layer& layer, std::string_view net) {
  std::vector<NetPoint> points;
  if (net.empty()) return points;
  layer.marks.each([&](const MarkPtr& mark) {
    std::optional<Result<std::vector<Pin>>> pins;
    for (const auto& [name, on] : mark->nets) {
      if (on != net) continue;
      NetPoint point{mark, name, mark->at, mark->kind != MarkKind::part};
      if (!pins) pins.emplace(pins_of(*mark));
      if (*pins)
        for (const Pin& pin : **pins)
          if (pin.name == name) point.at = pin.at, point.exact = true;
      points.push_back(std::move(point));
    }
  });
  return points;
}

}  // namespace boardlore
