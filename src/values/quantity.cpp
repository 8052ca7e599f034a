#include "values/quantity.h"

#include <array>
#include <cmath>
#include <cstdio>

namespace boardlore {
namespace {

struct Row {
  Quantity quantity;
  std::string_view name, ucum, symbol;
};

// UCUM codes: The Unified Code for Units of Measure, tables 1 to 4 (from memory).
constexpr std::array<Row, 8> rows{{{Quantity::resistance, "resistance", "Ohm", "Ω"},
                                   {Quantity::capacitance, "capacitance", "F", "F"},
                                   {Quantity::inductance, "inductance", "H", "H"},
                                   {Quantity::voltage, "voltage", "V", "V"},
                                   {Quantity::diode, "diode", "V", "V"},
                                   {Quantity::current, "current", "A", "A"},
                                   {Quantity::frequency, "frequency", "Hz", "Hz"},
                                   {Quantity::temperature, "temperature", "Cel", "°C"}}};

const Row& row_of(Quantity quantity) { return rows[static_cast<std::size_t>(quantity)]; }

}  // namespace

std::string_view quantity_name(Quantity quantity) { return row_of(quantity).name; }
std::string_view ucum_code(Quantity quantity) { return row_of(quantity).ucum; }
std::string_view unit_symbol(Quantity quantity) { return row_of(quantity).symbol; }

std::optional<Quantity> parse_quantity_name(std::string_view name) {
  for (const Row& row : rows)
    if (row.name == name) return row.quantity;
  return std::nullopt;
}

std::string print_engineering(double value, Quantity quantity, int digits) {
  constexpr std::array<std::string_view, 9> prefixes{"p", "n", "µ", "m", "", "k", "M", "G", "T"};
  int step = 0;
  if (value != 0 && quantity != Quantity::temperature) {
    // Rounded first, so that 999.96 does not print as "1000".
    std::array<char, 40> rounded{};
    std::snprintf(rounded.data(), rounded.size(), "%.*e", digits - 1, value);
    step = static_cast<int>(std::floor(std::log10(std::fabs(std::atof(rounded.data()))) / 3 + 1e-12));
    step = std::max(-4, std::min(4, step));
  }
  std::array<char, 40> number{};
  std::snprintf(number.data(), number.size(), "%.*g", digits, value / std::pow(1000.0, step));
  return std::string(number.data()) + " " + std::string(prefixes[static_cast<std::size_t>(step + 4)]) +
         std::string(unit_symbol(quantity));
}

}  // namespace boardlore
