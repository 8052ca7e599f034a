// What the card holds of a part beyond its name: which way round it sits, what it stands, what has to be read before
// it is lifted; and how a piece of work on it was done.
#pragma once

#include "bench/scene.h"

namespace boardlore {

// What the fields hold while they are being typed in.
struct PartSheet {
  MarkPtr of;
  bool open = false;
  std::string on_part, on_board, moisture, package_class, wanted;

  Action process_of;
  bool process_open = false;
  std::string iron, air, air_setting, nozzle, preheat, alloy, flux, time;
};

void draw_part_sheet(const Scene& scene, const Mark& mark, PartSheet& sheet);
// Process data of an action on this part, with the cautions that follow from them.
void draw_process(const Scene& scene, const Mark& mark, const Action& action, PartSheet& sheet);

// "7:diode, resistance": readings wanted before lifting; nullopt: not understood.
std::optional<std::vector<WantedReading>> wanted_typed(const std::string& words);
std::string wanted_words(const std::vector<WantedReading>& wanted);

}  // namespace boardlore
