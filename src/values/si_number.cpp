#include "values/si_number.h"

#include <array>
#include <charconv>
#include <cmath>
#include <cstdio>

namespace boardlore {
namespace {

constexpr std::size_t most_digits = 30;  // beyond any meter; keeps the conversion short

struct Spelling {
  std::string_view text;
  SiUnit unit;
};
constexpr std::array<Spelling, 22> unit_spellings{{{"Ω", SiUnit::ohm}, {"\u2126", SiUnit::ohm}, {"ohms", SiUnit::ohm},
    {"ohm", SiUnit::ohm}, {"Ohms", SiUnit::ohm}, {"Ohm", SiUnit::ohm}, {"OHM", SiUnit::ohm}, {"R", SiUnit::ohm},
    {"Vdc", SiUnit::volt}, {"VDC", SiUnit::volt}, {"V", SiUnit::volt}, {"v", SiUnit::volt}, {"F", SiUnit::farad},
    {"H", SiUnit::henry}, {"A", SiUnit::ampere}, {"Hz", SiUnit::hertz}, {"hz", SiUnit::hertz}, {"HZ", SiUnit::hertz},
    {"°C", SiUnit::celsius}, {"\u2103", SiUnit::celsius}, {"degC", SiUnit::celsius}, {"Cel", SiUnit::celsius}}};

struct Prefix {
  std::string_view text;
  int power_of_ten;
};
constexpr std::array<Prefix, 14> prefixes{{{"Meg", 6}, {"meg", 6}, {"MEG", 6}, {"p", -12}, {"n", -9}, {"µ", -6},
    {"\u03BC", -6}, {"u", -6}, {"m", -3}, {"k", 3}, {"K", 3}, {"M", 6}, {"G", 9}, {"T", 12}}};

bool is_digit(char c) { return c >= '0' && c <= '9'; }

struct Tail {
  int power_of_ten = 0;
  std::optional<SiUnit> unit;
};

std::optional<SiUnit> unit_spelt(std::string_view text) {
  for (const Spelling& spelling : unit_spellings)
    if (spelling.text == text) return spelling.unit;
  return std::nullopt;
}

// "kΩ", "k", "Ω": the whole text.
std::optional<Tail> tail_of(std::string_view text) {
  if (const auto unit = unit_spelt(text)) return Tail{0, unit};
  for (const Prefix& prefix : prefixes) {
    if (!text.starts_with(prefix.text)) continue;
    const std::string_view rest = text.substr(prefix.text.size());
    if (rest.empty()) return Tail{prefix.power_of_ten, std::nullopt};
    if (const auto unit = unit_spelt(rest); unit && *unit != SiUnit::celsius && rest != "R") return Tail{prefix.power_of_ten, unit};
  }
  return std::nullopt;
}

// The letter in the place of the decimal separator, at the start of `text`: its length and meaning.
std::optional<std::pair<std::size_t, Tail>> separator_letter(std::string_view text) {
  for (const std::string_view ohm : {std::string_view("R"), std::string_view("Ω"), std::string_view("\u2126")})
    if (text.starts_with(ohm)) return std::pair(ohm.size(), Tail{0, SiUnit::ohm});
  if (text.starts_with('V')) return std::pair(std::size_t{1}, Tail{0, SiUnit::volt});
  for (const Prefix& prefix : prefixes)
    if (prefix.text.size() <= 2 && text.starts_with(prefix.text)) return std::pair(prefix.text.size(), Tail{prefix.power_of_ten, std::nullopt});
  return std::nullopt;
}

// Correctly rounded from the decimal text, so that the same digits always give the same double.
std::optional<double> value_of(const std::string& digits, int power_of_ten) {
  const std::string text = digits + "e" + std::to_string(power_of_ten);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value == 0 ? 0.0 : value;  // no minus zero: "-0.00" is zero
}

class Reader {
 public:
  explicit Reader(std::string_view text) : text_(text) {}

  ParsedNumber read() {
    SiNumber number;
    if (take("-") || take("\u2212")) number.digits = "-";
    else take("+");
    const std::size_t start = at_;
    std::string whole = digits();
    std::string fraction;
    bool separated = false;
    Tail tail;
    if (peek() == '.' || peek() == ',') {
      const bool comma = peek() == ',';
      ++at_;
      separated = true;
      fraction = digits();
      if (fraction.empty()) return NumberFault{at_, "a digit behind the decimal separator"};
      number.comma_doubt = comma && fraction.size() == 3 && !whole.empty() && whole.size() <= 3 && whole[0] != '0';
      if (peek() == '.' || peek() == ',') return NumberFault{at_, "one decimal separator only, no separators of thousands"};
    } else if (const auto letter = separator_letter(text_.substr(at_));
               letter && at_ + letter->first < text_.size() && is_digit(text_[at_ + letter->first])) {
      at_ += letter->first;
      separated = true;
      tail = letter->second;
      fraction = digits();
      letter_used_ = true;
    }
    if (whole.empty() && !separated) return NumberFault{start, "a number"};
    if (whole.empty()) whole = "0";  // counts as a digit: it is printed, and what is printed must read again
    if (whole.size() + fraction.size() > most_digits) return NumberFault{start, "at most 30 digits"};
    number.digits += whole;
    if (!fraction.empty()) number.digits += "." + fraction;
    if (auto fault = read_tail(tail)) return *fault;
    number.power_of_ten = tail.power_of_ten;
    number.unit = tail.unit;
    const auto value = value_of(number.digits, number.power_of_ten);
    if (!value) return NumberFault{start, "a number of ordinary size"};
    number.value = *value;
    return number;
  }

 private:
  char peek() const { return at_ < text_.size() ? text_[at_] : '\0'; }
  bool take(std::string_view what) {
    if (!text_.substr(at_).starts_with(what)) return false;
    at_ += what.size();
    return true;
  }
  std::string digits() {
    const std::size_t from = at_;
    while (is_digit(peek())) ++at_;
    return std::string(text_.substr(from, at_ - from));
  }
  std::optional<NumberFault> read_tail(Tail& tail) {
    while (peek() == ' ') ++at_;
    const std::string_view rest = text_.substr(at_);
    if (rest.empty()) return std::nullopt;
    const auto behind = tail_of(rest);
    if (letter_used_) {  // "4k7 Ω": a unit may follow, a second prefix may not
      if (behind && behind->power_of_ten == 0 && !tail.unit && behind->unit != SiUnit::celsius) {
        tail.unit = behind->unit;
        return std::nullopt;
      }
      return NumberFault{at_, tail.unit ? "the end of the value" : "a unit (Ω, V, A, F, H, Hz) or the end of the value"};
    }
    if (!behind) {
      if (rest[0] == 'e' || rest[0] == 'E') return NumberFault{at_, "a prefix in place of a power of ten (p n µ m k M G)"};
      return NumberFault{at_, "a prefix (p n µ m k M G), a unit (Ω, V, A, F, H, Hz, °C) or the end of the value"};
    }
    tail = *behind;
    return std::nullopt;
  }

  std::string_view text_;
  std::size_t at_ = 0;
  bool letter_used_ = false;
};

}  // namespace

ParsedNumber parse_si_number(std::string_view text) { return Reader(text).read(); }

bool is_unit_text(std::string_view text) { return tail_of(text).has_value(); }

std::string_view prefix_symbol(int power_of_ten) {
  switch (power_of_ten) {
    case -12: return "p";
    case -9: return "n";
    case -6: return "µ";
    case -3: return "m";
    case 3: return "k";
    case 6: return "M";
    case 9: return "G";
    case 12: return "T";
    default: return "";
  }
}

SiUnit unit_of(Quantity quantity) {
  switch (quantity) {
    case Quantity::resistance: return SiUnit::ohm;
    case Quantity::capacitance: return SiUnit::farad;
    case Quantity::inductance: return SiUnit::henry;
    case Quantity::voltage:
    case Quantity::diode: return SiUnit::volt;
    case Quantity::current: return SiUnit::ampere;
    case Quantity::frequency: return SiUnit::hertz;
    case Quantity::temperature: break;
  }
  return SiUnit::celsius;
}

Quantity quantity_of(SiUnit unit) {
  switch (unit) {
    case SiUnit::ohm: return Quantity::resistance;
    case SiUnit::farad: return Quantity::capacitance;
    case SiUnit::henry: return Quantity::inductance;
    case SiUnit::volt: return Quantity::voltage;
    case SiUnit::ampere: return Quantity::current;
    case SiUnit::hertz: return Quantity::frequency;
    case SiUnit::celsius: break;
  }
  return Quantity::temperature;
}

std::string print_si_number(const SiNumber& number, Quantity quantity) {
  const Quantity shown = number.unit ? quantity_of(*number.unit) : quantity;
  return number.digits + " " + std::string(prefix_symbol(number.power_of_ten)) + std::string(unit_symbol(shown));
}

SiNumber si_number_from(double value, SiUnit unit, int digits) {
  SiNumber number;
  number.unit = unit;
  int step = 0;
  std::array<char, 64> text{};
  if (value != 0 && unit != SiUnit::celsius) {
    std::snprintf(text.data(), text.size(), "%.*e", digits - 1, value);  // rounded first: 999.96 is 1000
    step = static_cast<int>(std::floor(std::log10(std::fabs(std::strtod(text.data(), nullptr))) / 3 + 1e-12));
    step = std::max(-4, std::min(4, step));
  }
  std::snprintf(text.data(), text.size(), "%.*g", digits, value / std::pow(1000.0, step));
  number.digits = text.data();
  number.power_of_ten = 3 * step;
  number.value = value_of(number.digits, number.power_of_ten).value_or(value);
  return number;
}

}  // namespace boardlore
