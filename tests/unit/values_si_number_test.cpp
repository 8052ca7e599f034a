#include "values/si_number.h"

#include <doctest/doctest.h>

using namespace boardlore;

namespace {

SiNumber number_of(const std::string& text) {
  const ParsedNumber parsed = parse_si_number(text);
  if (const auto* fault = std::get_if<NumberFault>(&parsed)) FAIL(text << " at " << fault->at << ": " << fault->expected);
  return std::get<SiNumber>(parsed);
}

}  // namespace

TEST_CASE("a number is read in every spelling of the bench") {
  // Source: SI brochure 5.4 and IEC 60062 for the letter in the place of the separator (by the rule).
  struct Row {
    const char* text;
    double value;
    const char* printed;
  };
  for (const Row& row : {Row{"10.5k", 10500, "10.5 kΩ"}, Row{"10k5", 10500, "10.5 kΩ"}, Row{"10,5 kΩ", 10500, "10.5 kΩ"}, Row{"10.5 k\u2126", 10500, "10.5 kΩ"},
                         Row{"10.5kohm", 10500, "10.5 kΩ"}, Row{"4k7", 4700, "4.7 kΩ"}, Row{"4K7", 4700, "4.7 kΩ"}, Row{"4R7", 4.7, "4.7 Ω"}, Row{"4Ω7", 4.7, "4.7 Ω"},
                         Row{"R47", 0.47, "0.47 Ω"}, Row{"0.452 V", 0.452, "0.452 V"}, Row{"452mV", 0.452, "452 mV"}, Row{"3V3", 3.3, "3.3 V"}, Row{"98n", 98e-9, "98 nΩ"},
                         Row{"98nF", 98e-9, "98 nF"}, Row{"4.7µF", 4.7e-6, "4.7 µF"}, Row{"4.7\u03BCF", 4.7e-6, "4.7 µF"}, Row{"4.7uF", 4.7e-6, "4.7 µF"}, Row{"2M2", 2.2e6, "2.2 MΩ"},
                         Row{"20Meg", 20e6, "20 MΩ"}, Row{"-0.5V", -0.5, "-0.5 V"}, Row{"\u22120.5V", -0.5, "-0.5 V"}, Row{"12.0k", 12000, "12.0 kΩ"}, Row{"12.000MHz", 12e6, "12.000 MHz"},
                         Row{"65°C", 65, "65 °C"}, Row{".5", 0.5, "0.5 Ω"}, Row{"0,47", 0.47, "0.47 Ω"}, Row{"1R", 1, "1 Ω"}, Row{"10 uH", 10e-6, "10 µH"}, Row{"2.5A", 2.5, "2.5 A"}}) {
    INFO(row.text);
    const SiNumber number = number_of(row.text);
    CHECK(number.value == row.value);
    CHECK(print_si_number(number, Quantity::resistance) == row.printed);
  }
}

TEST_CASE("what is no number says where") {
  struct Row {
    const char* text;
    std::size_t at;
  };
  for (const Row& row : {Row{"", 0}, Row{"k", 0}, Row{"1e3", 1}, Row{"1.2.3", 3}, Row{"10kk", 2}, Row{"4k7k", 3}, Row{"4R7V", 3}, Row{"5.", 2}, Row{"1 234", 2}, Row{"10 xyz", 3}, Row{"nan", 0}, Row{"inf", 0}, Row{"-", 1},
                         Row{"1234567890123456789012345678901", 0}}) {
    INFO(row.text);
    const ParsedNumber parsed = parse_si_number(row.text);
    REQUIRE(std::holds_alternative<NumberFault>(parsed));
    CHECK(std::get<NumberFault>(parsed).at == row.at);
  }
}

TEST_CASE("a number without digits before its letter or separator has one more when it is printed, and must still be read") {
  const std::string thirty(30, '1'), fewer(29, '1');
  for (const std::string& separator : {std::string("n"), std::string(".")}) {
    CHECK(std::holds_alternative<NumberFault>(parse_si_number(separator + thirty)));
    const ParsedNumber parsed = parse_si_number(separator + fewer);
    REQUIRE(std::holds_alternative<SiNumber>(parsed));
    CHECK(std::holds_alternative<SiNumber>(parse_si_number(std::get<SiNumber>(parsed).digits)));
  }
}

TEST_CASE("a comma before three digits is in doubt, before others it is not") {
  CHECK(number_of("1,000").comma_doubt);
  CHECK(number_of("12,500k").comma_doubt);
  CHECK_FALSE(number_of("0,452").comma_doubt);
  CHECK_FALSE(number_of("10,5").comma_doubt);
  CHECK_FALSE(number_of("1.000").comma_doubt);
}
