// Parse, print, parse: 100,000 generated lines in all spellings give the value that was put in, twice.
#include <doctest/doctest.h>

#include <cstdlib>
#include <random>

#include "judging/entry_line.h"

using namespace boardlore;

namespace {

struct Generator {
  std::mt19937_64 random{7};
  std::size_t below(std::size_t n) { return random() % n; }
  template <std::size_t N>
  std::string one_of(const char* const (&list)[N]) { return list[below(N)]; }
};

struct Prefixed {
  int power;
  const char* spelling;
};

// One value spelt in one of the ways; the truth comes from the digits alone, through strtod.
std::string spell_value(Generator& g, const std::string& unit_kind, double& truth) {
  const std::string whole = std::to_string(g.below(1000)), fraction = g.below(2) == 0 ? "" : std::to_string(g.below(1000));
  static const Prefixed prefixes[] = {{0, ""}, {3, "k"}, {3, "K"}, {6, "M"}, {-3, "m"}, {-6, "µ"}, {-6, "u"}, {-6, "\u03BC"}, {-9, "n"}, {-12, "p"}, {9, "G"}};
  const Prefixed prefix = prefixes[g.below(std::size(prefixes))];
  truth = std::strtod((whole + (fraction.empty() ? "" : "." + fraction) + "e" + std::to_string(prefix.power)).c_str(), nullptr);
  std::string unit;
  if (unit_kind == "ohm") unit = g.one_of({"Ω", "\u2126", "ohm", "Ohm"});
  else if (unit_kind == "F") unit = "F";
  else if (unit_kind == "H") unit = "H";
  else if (unit_kind == "V") unit = g.one_of({"V", "v"});
  else if (unit_kind == "A") unit = "A";
  else unit = "Hz";
  const std::string space = g.below(2) == 0 ? "" : g.one_of({" ", "\u00A0", "\u202F", "  "});
  if (prefix.power != 0 && !fraction.empty() && g.below(3) == 0) return whole + prefix.spelling + fraction + space + unit;  // 4k7 Ω
  if (prefix.power == 0 && unit == "Ω" && !fraction.empty() && g.below(3) == 0) return whole + "R" + fraction;             // 4R7
  // A comma before three digits is in doubt on purpose; the generator avoids it.
  const char* separator = fraction.size() == 3 || g.below(2) == 0 ? "." : ",";
  return whole + (fraction.empty() ? "" : separator + fraction) + space + prefix.spelling + unit;
}

}  // namespace

TEST_CASE("a generated line gives the value put in, and its printed form gives it again") {
  Generator g;
  std::size_t wrong = 0;
  for (int i = 0; i < 100000 && wrong < 10; ++i) {
    const std::string kind = g.one_of({"ohm", "F", "H", "V", "A", "Hz"});
    std::string line = g.one_of({"C14", "U3", "tp4", "R17A", "J2", "BT1", "L200"});
    if (g.below(3) == 0) line += g.one_of({".7", ".A12", ".1", " pin 9"});
    std::vector<double> truths;
    std::vector<Qualifier> qualifiers;
    const std::size_t count = 1 + g.below(4);
    for (std::size_t j = 0; j < count; ++j) {
      const std::string sign = g.below(6) == 0 ? g.one_of({">", "> ", "<", "≥", "<= "}) : "";
      double truth = 0;
      line += " " + sign + spell_value(g, kind, truth);
      truths.push_back(truth);
      qualifiers.push_back(sign.empty() ? Qualifier::exact : sign[0] == '<' ? Qualifier::at_most : Qualifier::at_least);
    }
    const bool diode = kind == "V" && g.below(2) == 0;
    line += diode ? " diode" : kind == "V" ? " voltage" : "";
    if (g.below(3) == 0) line += g.one_of({" on", " off", " rising", " falling", " steady", " red TP1", " black GND", " with m-1", " cold", " ambient 22°C", " every 5s"});
    if (g.below(4) == 0) line += g.one_of({" lifted pad 7", " seen twice", " near R5 4k7"});
    INFO(line);
    ParsedEntry parsed = parse_entry_line(line, {});
    for (int round = 0; round < 2; ++round) {
      const auto* entry = std::get_if<EntryLine>(&parsed);
      bool same = entry != nullptr && entry->values.size() == count && (entry->quantity == Quantity::diode) == diode;
      for (std::size_t j = 0; same && j < count; ++j) same = entry->values[j].number.value == truths[j] && entry->values[j].qualifier == qualifiers[j];
      if (!same) {
        ++wrong;
        FAIL_CHECK("round " << round << ": " << line);
        break;
      }
      if (round == 1) break;
      const EntryLine first = *entry;
      const std::string printed = canonical_line(first, {});
      parsed = parse_entry_line(printed, {});
      const auto* again = std::get_if<EntryLine>(&parsed);
      if (!again || again->words != first.words || !(again->conditions == first.conditions) || again->said != first.said || again->pin != first.pin || again->every_s != first.every_s ||
          again->quantity != first.quantity || canonical_line(*again, {}) != printed) {
        ++wrong;
        FAIL_CHECK(line << " -> " << printed);
        break;
      }
    }
  }
  CHECK(wrong == 0);
}
