// Solder alloys: when they begin to melt, when they are liquid, and where the figures come from.
//
// A joint that is not liquid everywhere tears its land off. The set temperature of an iron or of hot air says
// little of the joint's, but one below the alloy's liquidus can never lift the part.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace boardlore {

struct Alloy {
  std::string_view name;         // "SAC305"
  std::string_view composition;  // "Sn96.5Ag3.0Cu0.5"
  double solidus_c = 0, liquidus_c = 0;
  bool lead = false;
  std::string_view source;
};

const std::vector<Alloy>& alloys();
// By name, composition or everyday word ("leaded", "63/37", "lead free"), whatever its case, blanks and hyphens.
// nullptr: not in the table.
const Alloy* find_alloy(std::string_view text);
// Bismuth residue in a tin-lead joint, or the other way about, can form a phase that melts at 96 °C.
bool makes_low_melting_phase(const Alloy& one, const Alloy& other);

}  // namespace boardlore
