// What is measured and in which unit: the quantities a bench meter shows.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace boardlore {

// Written to files by name (quantity_name). diode: forward voltage in a meter's diode mode.
enum class Quantity { resistance, capacitance, inductance, voltage, diode, current, frequency, temperature };

// "resistance", "capacitance", ...
std::string_view quantity_name(Quantity quantity);
std::optional<Quantity> parse_quantity_name(std::string_view name);
// UCUM code as files hold it: "Ohm", "F", "H", "V", "V", "A", "Hz", "Cel".
std::string_view ucum_code(Quantity quantity);
// As read by people: "Ω", "F", "H", "V", "V", "A", "Hz", "°C".
std::string_view unit_symbol(Quantity quantity);

// Engineering notation with an SI prefix and a space: 10500 Ω -> "10.5 kΩ". digits: significant digits.
std::string print_engineering(double value, Quantity quantity, int digits = 4);

}  // namespace boardlore
