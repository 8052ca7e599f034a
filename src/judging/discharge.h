// Discharging a capacitor through a resistor: how much energy, how long, how hot the resistor gets.
//
// V(t) = V0 exp(-t/RC). The default end is 60 V, the DC limit of energy source class 1 in IEC 62368-1 (from
// memory); the answer is a plan, never proof: dielectric absorption brings voltage back, resistors fail
// open, and only measuring tells. Capacitance may be 20 % above its marking; `worst` counts that in.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "domain/problem.h"

namespace boardlore {

constexpr double default_safe_v = 60;
constexpr const char* default_safe_source = "60 V DC, energy source class 1 of IEC 62368-1 (from memory)";

struct DischargePlan {
  double capacitance_f = 0, start_v = 0, resistance_ohm = 0, safe_v = 0;
  double energy_j = 0;               // stored at the start
  double time_constant_s = 0;
  double time_s = 0;                 // to fall to safe_v; 0: already below
  double time_worst_s = 0;           // with 20 % more capacitance
  double time_to_1v_s = 0;
  double peak_current_a = 0, peak_power_w = 0;
  double average_power_w = 0;        // until safe_v; 0 where it starts below
  double energy_in_resistor_j = 0;   // until safe_v
  std::optional<double> rating_w;
  std::optional<bool> rating_suffices;  // nullopt: no rating given
  std::string rating_words;
  std::vector<std::string> cautions;
};

// All values positive and finite; refused otherwise, saying which.
Result<DischargePlan> plan_discharge(double capacitance_f, double start_v, double resistance_ohm, double safe_v = default_safe_v,
                                     std::optional<double> rating_w = std::nullopt);

}  // namespace boardlore
