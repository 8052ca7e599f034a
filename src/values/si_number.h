// Numbers as a technician types them: "10.5k", "10k5", "10,5 kΩ", "4R7", "3V3", "452mV", "98n".
//
// A reading keeps its digits as typed, so a number here is the digits and the prefix, not only the value;
// printed and read again it gives the same double. Prefixes and symbols: SI brochure, chapters 3 and 5;
// the letter in the place of the decimal separator: IEC 60062 (RKM code), widened to volts by bench usage.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "values/quantity.h"

namespace boardlore {

enum class SiUnit { ohm, farad, henry, volt, ampere, hertz, celsius };

struct SiNumber {
  std::string digits;          // "10.5", "-0.452": as typed, with a dot
  int power_of_ten = 0;        // of the prefix
  std::optional<SiUnit> unit;    // nullopt: none typed
  double value = 0;            // in the base unit; finite
  bool comma_doubt = false;    // "1,000": the comma may stand between thousands
  bool operator==(const SiNumber&) const = default;
};

struct NumberFault {
  std::size_t at = 0;          // byte in the text
  std::string expected;
  bool operator==(const NumberFault&) const = default;
};

using ParsedNumber = std::variant<SiNumber, NumberFault>;

// The whole text must be one number; spaces before the unit are allowed. Ω as U+03A9 or U+2126; micro as
// U+00B5, U+03BC or u; K is read as kilo. Powers of ten ("1e3") are refused: E is a decimal letter in RKM.
ParsedNumber parse_si_number(std::string_view text);

// True for what may stand apart behind a number: "kΩ", "V", "mV", "k".
bool is_unit_text(std::string_view text);

// "10.5 kΩ" with the typed digits. Where no unit was typed, the unit of `quantity`.
std::string print_si_number(const SiNumber& number, Quantity quantity);

// A value with no typed form, as a number of at most `digits` significant digits.
SiNumber si_number_from(double value, SiUnit unit, int digits = 4);

SiUnit unit_of(Quantity quantity);
// volt -> voltage; a diode reading is told by its word, not by its unit.
Quantity quantity_of(SiUnit unit);
std::string_view prefix_symbol(int power_of_ten);

}  // namespace boardlore
