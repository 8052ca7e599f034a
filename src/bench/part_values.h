// What the card says about values beside the field they are typed in: what a marking can mean, what a reading
// should be (limits, from a template or typed), and how to let a capacitor down.
#pragma once

#include "bench/scene.h"
#include "values/si_number.h"

namespace boardlore {

// What the fields below hold while they are being typed in.
struct PartValues {
  Id of;                        // the mark they belong to
  bool limits_open = false, discharge_open = false;
  std::vector<std::string> low, high, source;  // one a limit
  std::string pin;              // that a new limit is for
  std::string farad, volt, through = "10k", rating, safe;
};

// "4.7 kΩ ±1 %  (EIA-96)", one line a reading the code can have; nothing for what is no code.
void draw_marking_meanings(const Scene& scene, const std::string& marking);
// The limits, each editable, and the templates that add one.
void draw_limits(const Scene& scene, const Mark& mark, PartValues& values);
// For capacitors: energy, times, the resistor, and the cautions. Never says that touching is safe.
void draw_discharge(const Scene& scene, const Mark& mark, PartValues& values);

// "0.4", "10k", "10 kΩ" in the unit of the quantity; nullopt: not a number of it. Empty text: no limit.
std::optional<double> amount_typed(const std::string& words, SiUnit unit);

}  // namespace boardlore
