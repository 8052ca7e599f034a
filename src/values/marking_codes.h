// What is printed on a small part, read as a value: every reading a code can have, with its standard.
//
// One code often has two meanings: 10R is 10 Ω by IEC 60062 and 1.24 Ω by EIA-96; 220 is 22 Ω on a resistor
// and 22 pF on a capacitor; 47K is 47 kΩ or 47 pF, 10 %. None is chosen here: all are returned, the
// technician sees the part. Rules as published by several makers and pages; each reading names its standard.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "values/quantity.h"

namespace boardlore {

struct Tolerance {
  std::optional<double> minus, plus;  // parts of the value: 0.05 is 5 %
  std::optional<double> absolute_f;   // instead: capacitors below 10 pF
  bool operator==(const Tolerance&) const = default;
};

struct CodeReading {
  Quantity quantity = Quantity::resistance;
  double value = 0;
  std::optional<Tolerance> tolerance;
  std::optional<double> rated_v;
  std::string standard;               // "IEC 60062 (RKM code)"
  std::string note;                   // what makes this reading doubtful; empty: nothing
};

// Empty: no known code. Case matters where the standards say so (m and M).
std::vector<CodeReading> decode_marking(std::string_view code);

// A reading for people: "10 kΩ ±1 %", "4.7 µF, 10 V".
std::string print_code_reading(const CodeReading& reading);

// Tolerance letter of IEC 60062: resistors, and capacitors by whether they are below 10 pF.
std::optional<Tolerance> tolerance_of_letter(char letter, Quantity quantity, double value);
// Rated volts of the letter before the code on a tantalum capacitor; de-facto code of the makers.
std::optional<double> tantalum_rated_v(char letter);
// EIA-96: two digits 01..96 and a letter.
std::optional<double> eia96_ohm(std::string_view code);

}  // namespace boardlore
