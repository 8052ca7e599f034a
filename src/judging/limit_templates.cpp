#include "judging/limit_templates.h"

namespace boardlore {

const std::vector<LimitTemplate>& limit_templates() {
  constexpr std::string_view practice = "common practice, no source";
  static const std::vector<LimitTemplate> templates{
      {"coin-cell", "lithium coin cell of 3 V, no load", Quantity::voltage, std::nullopt, 2.8, 3.5, practice,
       "about 3.2 V when new; a cell that reads well without load may still be weak: measure it loaded as well"},
      {"supply-rail", "supply rail to ground, power off", Quantity::resistance, Power::off, 20.0, std::nullopt, practice,
       "core rails of large processors read a few ohms or less when good: lower the limit there; let the reading settle"},
      {"logic-pin", "logic pin to ground in diode mode, red lead on ground", Quantity::diode, Power::off, 0.3, 0.7, practice,
       "over range: open line or no part on it; compare with the neighbouring pins"},
      {"fuse", "fuse, power off", Quantity::resistance, Power::off, std::nullopt, 1.0, practice,
       "fuses of a few milliamperes have several ohms or more: raise the limit there; take the leads' own resistance off"},
      {"inductor", "power inductor, power off", Quantity::resistance, Power::off, std::nullopt, 2.0, practice,
       "take the leads' own resistance off; signal inductors may have tens of ohms"},
      {"rail-capacitor", "capacitor across a rail, in circuit, power off", Quantity::resistance, Power::off, 1000.0, std::nullopt, practice,
       "tens of kilohms and rising is the meter charging the capacitor, not a short; wait until it settles"}};
  return templates;
}

const LimitTemplate* find_limit_template(std::string_view name) {
  for (const LimitTemplate& one : limit_templates())
    if (one.name == name) return &one;
  return nullptr;
}

Limit limit_from(const LimitTemplate& from, const std::string& pin, const Id& id) {
  return {id, from.quantity, pin, from.power, from.low, from.high, std::string(from.source), {}};
}

}  // namespace boardlore
