#include "values/marking_codes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "values/preferred_values.h"

namespace boardlore {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool all_digits(std::string_view text) { return !text.empty() && std::all_of(text.begin(), text.end(), is_digit); }

double scaled(std::string_view digits, int power_of_ten) {
  return std::strtod((std::string(digits) + "e" + std::to_string(power_of_ten)).c_str(), nullptr);
}

struct DecimalLetter {
  std::string_view text;
  Quantity quantity;
  int power_of_ten;
  std::string_view note;
};
constexpr std::array<DecimalLetter, 18> decimal_letters{{
    {"R", Quantity::resistance, 0, ""}, {"E", Quantity::resistance, 0, "E in place of R"}, {"K", Quantity::resistance, 3, ""},
    {"k", Quantity::resistance, 3, ""}, {"M", Quantity::resistance, 6, ""}, {"G", Quantity::resistance, 9, ""},
    {"T", Quantity::resistance, 12, ""}, {"L", Quantity::resistance, -3, "shunts"}, {"M", Quantity::resistance, -3, "on current-sense shunts only; not IEC 60062"},
    {"m", Quantity::resistance, -3, "on current-sense shunts only; not IEC 60062"}, {"p", Quantity::capacitance, -12, ""},
    {"n", Quantity::capacitance, -9, ""}, {"u", Quantity::capacitance, -6, ""}, {"µ", Quantity::capacitance, -6, ""},
    {"\u03BC", Quantity::capacitance, -6, ""}, {"m", Quantity::capacitance, -3, ""}, {"F", Quantity::capacitance, 0, ""},
    {"V", Quantity::voltage, 0, "usage, not IEC 60062"}}};

class Decoder {
 public:
  explicit Decoder(std::string_view code) : code_(code) {}

  std::vector<CodeReading> decode() {
    if (code_.empty() || code_.size() > 12) return {};
    by_letter(code_, std::nullopt);
    if (code_.size() >= 3) by_letter(code_.substr(0, code_.size() - 1), code_.back());  // "4K7J"
    by_digits();
    by_eia96();
    capacitor_digits(code_, std::nullopt);
    if (code_.size() >= 3 && code_.size() <= 4 && !is_digit(code_.back())) capacitor_digits(code_.substr(0, code_.size() - 1), code_.back());
    tantalum();
    return std::move(found_);
  }

 private:
  void add(CodeReading reading) { found_.push_back(std::move(reading)); }

  // RKM: the letter stands where the decimal separator would.
  void by_letter(std::string_view code, std::optional<char> tolerance_letter) {
    std::size_t at = 0;
    while (at < code.size() && is_digit(code[at])) ++at;
    const std::string_view whole = code.substr(0, at);
    for (const DecimalLetter& letter : decimal_letters) {
      if (!code.substr(at).starts_with(letter.text)) continue;
      const std::string_view fraction = code.substr(at + letter.text.size());
      if ((whole.empty() && fraction.empty()) || (!fraction.empty() && !all_digits(fraction)) || whole.size() > 4 || fraction.size() > 4) continue;
      // "47F" is rather a 47 pF part of 1 %: a farad mark needs digits behind it or is a single digit.
      if (letter.text == "F" && (whole.empty() || fraction.empty())) continue;
      if (letter.text == "V" && fraction.empty()) continue;
      CodeReading reading;
      reading.quantity = letter.quantity;
      reading.value = scaled(std::string(whole.empty() ? "0" : whole) + "." + std::string(fraction.empty() ? "0" : fraction), letter.power_of_ten);
      reading.standard = letter.note.starts_with("on current") || letter.note.starts_with("usage") ? "maker's usage" : "IEC 60062 (RKM code)";
      reading.note = letter.note;
      if (tolerance_letter) {
        reading.tolerance = tolerance_of_letter(*tolerance_letter, reading.quantity, reading.value);
        if (!reading.tolerance || letter.quantity == Quantity::voltage) continue;
        reading.standard += ", tolerance letter " + std::string(1, *tolerance_letter);
      }
      add(std::move(reading));
    }
  }

  void by_digits() {
    if (!all_digits(code_)) return;
    if (code_.find_first_not_of('0') == std::string_view::npos && code_.size() <= 4) {
      add({Quantity::resistance, 0, std::nullopt, std::nullopt, "chip resistor usage, zero-ohm link", ""});
      return;
    }
    if (code_.size() == 3)
      add({Quantity::resistance, scaled(code_.substr(0, 2), code_[2] - '0'), std::nullopt, std::nullopt, "IEC 60062, three digits",
           "a bar under it means a part of 1 % or better"});
    if (code_.size() == 4)
      add({Quantity::resistance, scaled(code_.substr(0, 3), code_[3] - '0'), std::nullopt, std::nullopt, "IEC 60062, four digits", ""});
  }

  void by_eia96() {
    const auto ohm = eia96_ohm(code_);
    if (!ohm) return;
    const bool doubtful = code_[2] == 'R' || code_[2] == 'S' || code_[2] == 'H';
    add({Quantity::resistance, *ohm, Tolerance{0.01, 0.01, std::nullopt}, std::nullopt, "EIA-96",
         doubtful ? "letter " + std::string(1, code_[2]) + " in place of " + (code_[2] == 'R' ? "Y" : code_[2] == 'S' ? "X" : "B") : ""});
  }

  // Picofarads: two digits and a power of ten, or two digits alone; 8 and 9 are hundredths and tenths.
  void capacitor_digits(std::string_view digits, std::optional<char> letter) {
    if (!all_digits(digits) || (digits.size() != 2 && digits.size() != 3) || digits[0] == '0') return;
    CodeReading reading;
    reading.quantity = Quantity::capacitance;
    const int third = digits.size() == 3 ? digits[2] - '0' : 0;
    reading.value = scaled(digits.substr(0, 2), (third == 8 ? -2 : third == 9 ? -1 : third) - 12);
    reading.standard = digits.size() == 3 ? "IEC 60062, capacitor of three digits, in pF" : "capacitor of two digits, in pF (usage)";
    if (third >= 8) reading.note = "third digit " + std::string(1, digits[2]) + " as in EIA-198 (from memory)";
    if (letter) {
      reading.tolerance = tolerance_of_letter(*letter, Quantity::capacitance, reading.value);
      if (!reading.tolerance) return;
      reading.standard += ", tolerance letter " + std::string(1, *letter);
    }
    add(std::move(reading));
  }

  void tantalum() {
    if (code_.size() != 4 || !all_digits(code_.substr(1)) || code_[1] == '0') return;
    const auto volts = tantalum_rated_v(code_[0]);
    if (!volts || code_[3] > '7') return;
    add({Quantity::capacitance, scaled(code_.substr(1, 2), code_[3] - '0' - 12), std::nullopt, volts, "makers' code of tantalum capacitors, voltage letter " + std::string(1, code_[0]),
         "voltage letters are a de-facto code, not one standard's table"});
  }

  std::string_view code_;
  std::vector<CodeReading> found_;
};

std::string percent(double part) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%g %%", std::round(part * 1e6) / 1e4);
  return text.data();
}

}  // namespace

std::vector<CodeReading> decode_marking(std::string_view code) { return Decoder(code).decode(); }

std::optional<double> eia96_ohm(std::string_view code) {
  if (code.size() != 3 || !is_digit(code[0]) || !is_digit(code[1])) return std::nullopt;
  const int index = (code[0] - '0') * 10 + (code[1] - '0');
  if (index < 1 || index > 96) return std::nullopt;
  static constexpr std::array<std::pair<char, int>, 12> multipliers{{{'Z', -3}, {'Y', -2}, {'R', -2}, {'X', -1}, {'S', -1}, {'A', 0},
                                                                     {'B', 1}, {'H', 1}, {'C', 2}, {'D', 3}, {'E', 4}, {'F', 5}}};
  static const std::vector<int> e96 = preferred_numbers(96);
  for (const auto& [letter, power] : multipliers)
    if (letter == code[2]) return scaled(std::to_string(e96[static_cast<std::size_t>(index - 1)]), power);
  return std::nullopt;
}

std::optional<Tolerance> tolerance_of_letter(char letter, Quantity quantity, double value) {
  const auto even = [](double part) { return Tolerance{part, part, std::nullopt}; };
  const auto uneven = [](double minus, double plus) { return Tolerance{minus, plus, std::nullopt}; };
  if (quantity == Quantity::capacitance && value < 10e-12 * (1 - 1e-9)) {
    const auto picofarads = [](double pf) { return Tolerance{std::nullopt, std::nullopt, pf * 1e-12}; };
    switch (letter) {
      case 'B': return picofarads(0.1);
      case 'C': return picofarads(0.25);
      case 'D': return picofarads(0.5);
      case 'F': return picofarads(1);
      case 'G': return picofarads(2);
      default: break;
    }
  }
  switch (letter) {
    case 'B': return even(0.001);
    case 'C': return even(0.0025);
    case 'D': return even(0.005);
    case 'F': return even(0.01);
    case 'G': return even(0.02);
    case 'H': return even(0.03);
    case 'J': return even(0.05);
    case 'K': return even(0.10);
    case 'M': return even(0.20);
    case 'N': return even(0.30);
    default: break;
  }
  if (quantity == Quantity::resistance) {
    switch (letter) {
      case 'E': return even(0.00005);
      case 'L': return even(0.0001);
      case 'P': return even(0.0002);
      case 'W': return even(0.0005);
      default: return std::nullopt;
    }
  }
  switch (letter) {
    case 'Q': return uneven(0.10, 0.30);
    case 'T': return uneven(0.10, 0.50);
    case 'S': return uneven(0.20, 0.50);
    case 'Z': return uneven(0.20, 0.80);
    default: return std::nullopt;
  }
}

std::optional<double> tantalum_rated_v(char letter) {
  switch (letter) {
    case 'e': return 2.5;
    case 'G': return 4;
    case 'J': return 6.3;
    case 'A': return 10;
    case 'C': return 16;
    case 'D': return 20;
    case 'E': return 25;
    case 'V': return 35;
    case 'T':
    case 'H': return 50;
    default: return std::nullopt;
  }
}

std::string print_code_reading(const CodeReading& reading) {
  std::string text = print_engineering(reading.value, reading.quantity);
  if (reading.tolerance) {
    const Tolerance& tolerance = *reading.tolerance;
    if (tolerance.absolute_f) text += " ±" + print_engineering(*tolerance.absolute_f, Quantity::capacitance);
    else if (tolerance.minus == tolerance.plus) text += " ±" + percent(*tolerance.plus);
    else text += " −" + percent(*tolerance.minus) + " +" + percent(*tolerance.plus);
  }
  if (reading.rated_v) text += ", " + print_engineering(*reading.rated_v, Quantity::voltage);
  return text;
}

}  // namespace boardlore
