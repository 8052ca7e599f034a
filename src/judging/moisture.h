// Moisture-sensitive packages: how long one may lie open before it must be baked.
//
// Water in the plastic turns to steam in the reflow and splits the package. A part out of its bag for longer
// than its level's floor life is baked first. Levels: IPC/JEDEC J-STD-020, floor life: J-STD-033, at or below
// 30 °C and 60 % relative humidity. A bench that is damper gives less; this does not know.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/id.h"

namespace boardlore {

struct FloorLife {
  std::string_view level;       // "2a"
  std::optional<double> hours;  // nullopt: unlimited (1), or as on the label (6)
  std::string_view words;
  std::string_view source;
};

const std::vector<FloorLife>& floor_lives();
// "3", "MSL3", "msl 5A". nullptr: no such level.
const FloorLife* find_floor_life(std::string_view level);

enum class FloorState { not_sensitive, not_opened, within, used_up, as_labelled, unknown_level };
struct FloorVerdict {
  FloorState state = FloorState::unknown_level;
  double hours_open = 0;
  std::string words;  // "MSL 3: 41 h of 168 h used"
};
FloorVerdict floor_verdict(std::string_view level, std::optional<Timestamp> bag_opened_at, Timestamp now);

}  // namespace boardlore
