#include "judging/discharge.h"

#include <array>
#include <cmath>
#include <cstdio>

namespace boardlore {
namespace {

std::optional<Problem> needs_positive(double value, const char* what) {
  if (std::isfinite(value) && value > 0) return std::nullopt;
  return Problem{"", what, "more than 0", std::to_string(value)};
}

std::string watts(double value) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.3g W", value);
  return text.data();
}

// What the rating must carry: the full first power, as a rating says nothing of pulses.
void judge_rating(DischargePlan& plan) {
  if (!plan.rating_w) {
    plan.rating_words = "no rating given: the resistor must stand a first power of " + watts(plan.peak_power_w) + " and " + std::to_string(std::lround(plan.start_v)) + " V";
    return;
  }
  plan.rating_suffices = *plan.rating_w >= plan.peak_power_w;
  if (*plan.rating_suffices)
    plan.rating_words = "rated " + watts(*plan.rating_w) + ", enough for the first power of " + watts(plan.peak_power_w) + "; check its voltage rating too";
  else
    plan.rating_words = "rated " + watts(*plan.rating_w) + ", less than the first power of " + watts(plan.peak_power_w) +
                        ": only a resistor whose maker states such a pulse will do, or a larger resistance";
}

}  // namespace

Result<DischargePlan> plan_discharge(double capacitance_f, double start_v, double resistance_ohm, double safe_v, std::optional<double> rating_w) {
  for (const auto& [value, what] : {std::pair(capacitance_f, "capacitance"), std::pair(start_v, "voltage"), std::pair(resistance_ohm, "resistance"),
                                    std::pair(safe_v, "safe voltage"), std::pair(rating_w.value_or(1), "rating")})
    if (auto problem = needs_positive(value, what)) return *problem;
  DischargePlan plan;
  plan.capacitance_f = capacitance_f;
  plan.start_v = start_v;
  plan.resistance_ohm = resistance_ohm;
  plan.safe_v = safe_v;
  plan.rating_w = rating_w;
  plan.energy_j = capacitance_f * start_v * start_v / 2;
  plan.time_constant_s = resistance_ohm * capacitance_f;
  plan.time_s = start_v > safe_v ? plan.time_constant_s * std::log(start_v / safe_v) : 0;
  plan.time_worst_s = 1.2 * plan.time_s;
  plan.time_to_1v_s = start_v > 1 ? plan.time_constant_s * std::log(start_v) : 0;
  plan.peak_current_a = start_v / resistance_ohm;
  plan.peak_power_w = start_v * start_v / resistance_ohm;
  plan.energy_in_resistor_j = start_v > safe_v ? capacitance_f * (start_v * start_v - safe_v * safe_v) / 2 : 0;
  plan.average_power_w = plan.time_s > 0 ? plan.energy_in_resistor_j / plan.time_s : 0;
  for (const double value : {plan.energy_j, plan.time_constant_s, plan.time_to_1v_s, plan.peak_power_w, plan.peak_current_a, plan.average_power_w})
    if (!std::isfinite(value)) return Problem{"", "values", "values of ordinary size", "a result that is not finite"};
  judge_rating(plan);
  plan.cautions = {"Disconnect the supply first; this is a calculation, not a measurement.",
                   "Measure the capacitor's voltage before touching anything, and keep the resistor across it while you work: charge can come back.",
                   "Insulated leads and probes, one hand away, eye protection; the resistor gets hot; never short it with a tool.",
                   "A failed or loose resistor leaves the full voltage standing.",
                   "Local codes and licensed practice take precedence."};
  if (start_v <= safe_v) plan.cautions.insert(plan.cautions.begin(), "Starts below the chosen voltage; large capacitors still burn and arc at low voltage.");
  return plan;
}

}  // namespace boardlore
