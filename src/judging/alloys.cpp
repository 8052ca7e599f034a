#include "judging/alloys.h"

#include <cctype>

namespace boardlore {
namespace {

constexpr std::string_view published = "published alloy tables of two solder makers";
constexpr std::string_view one_maker = "one solder maker's published table";

std::string plain(std::string_view text) {
  std::string letters;
  for (const char c : text)
    if (std::isalnum(static_cast<unsigned char>(c)) || c == '.') letters += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return letters;
}

struct Word {
  std::string_view word, alloy;
};
// What people type. "leaded" and "lead-free" are taken for the most usual alloy of that kind.
constexpr Word words[] = {{"leaded", "Sn63Pb37"},   {"tinlead", "Sn63Pb37"}, {"6337", "Sn63Pb37"},   {"6040", "Sn60Pb40"},
                          {"leadfree", "SAC305"},   {"pbfree", "SAC305"},    {"sac", "SAC305"},      {"snbi", "Bi58Sn42"},
                          {"sn42bi58", "Bi58Sn42"}, {"lowmelt", "Bi58Sn42"}, {"sn100c", "Sn99.3Cu0.7"}, {"removalalloy", "Bi56Sn30In14"}};

}  // namespace

const std::vector<Alloy>& alloys() {
  // Designations of J-STD-006 and ISO 9453.
  static const std::vector<Alloy> table{{"Sn63Pb37", "Sn63Pb37", 183, 183, true, published},
                                        {"Sn60Pb40", "Sn60Pb40", 183, 191, true, "published tables say 188 to 191; the higher is taken"},
                                        {"Sn62Pb36Ag2", "Sn62Pb36Ag2", 179, 179, true, one_maker},
                                        {"Sn50Pb50", "Sn50Pb50", 183, 212, true, published},
                                        {"SAC305", "Sn96.5Ag3.0Cu0.5", 217, 220, false, published},
                                        {"SAC387", "Sn95.5Ag3.8Cu0.7", 217, 220, false, one_maker},
                                        {"SAC405", "Sn95.5Ag4.0Cu0.5", 217, 220, false, one_maker},
                                        {"SAC105", "Sn98.5Ag1.0Cu0.5", 215, 227, false, one_maker},
                                        {"SAC0307", "Sn99Ag0.3Cu0.7", 217, 228, false, one_maker},
                                        {"Sn96.5Ag3.5", "Sn96.5Ag3.5", 221, 221, false, published},
                                        {"Sn99.3Cu0.7", "Sn99.3Cu0.7", 227, 227, false, one_maker},
                                        {"Bi58Sn42", "Bi58Sn42", 138, 138, false, one_maker},
                                        {"Bi57Sn42Ag1", "Bi57Sn42Ag1", 139, 140, false, one_maker},
                                        {"In52Sn48", "In52Sn48", 118, 118, false, one_maker},
                                        {"In97Ag3", "In97Ag3", 143, 143, false, one_maker},
                                        {"Bi46Sn34Pb20", "Bi46Sn34Pb20", 96, 96, true, one_maker},
                                        {"Bi56Sn30In14", "Bi56Sn30In14", 79, 91, false, "a removal alloy's published data"},
                                        {"Sn95Sb5", "Sn95Sb5", 235, 240, false, one_maker}};
  return table;
}

const Alloy* find_alloy(std::string_view text) {
  std::string wanted = plain(text);
  for (const Word& word : words)
    if (wanted == word.word) wanted = plain(word.alloy);
  for (const Alloy& alloy : alloys())
    if (wanted == plain(alloy.name) || wanted == plain(alloy.composition)) return &alloy;
  return nullptr;
}

bool makes_low_melting_phase(const Alloy& one, const Alloy& other) {
  const auto bismuth = [](const Alloy& a) { return a.composition.find("Bi") != std::string_view::npos; };
  return (bismuth(one) && other.lead) || (bismuth(other) && one.lead);
}

}  // namespace boardlore
