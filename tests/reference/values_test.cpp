// Marking codes and preferred values against published tables. What is only from memory says so.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "values/marking_codes.h"
#include "values/preferred_values.h"

using namespace boardlore;

namespace {

// Published EIA-96 table, value numbers 01 to 96 (read on a published page; equal to the rule of IEC 60063).
constexpr std::array<int, 96> eia96_table{
    100, 102, 105, 107, 110, 113, 115, 118, 121, 124, 127, 130, 133, 137, 140, 143, 147, 150, 154, 158, 162, 165, 169, 174,
    178, 182, 187, 191, 196, 200, 205, 210, 215, 221, 226, 232, 237, 243, 249, 255, 261, 267, 274, 280, 287, 294, 301, 309,
    316, 324, 332, 340, 348, 357, 365, 374, 383, 392, 402, 412, 422, 432, 442, 453, 464, 475, 487, 499, 511, 523, 536, 549,
    562, 576, 590, 604, 619, 634, 649, 665, 681, 698, 715, 732, 750, 768, 787, 806, 825, 845, 866, 887, 909, 931, 953, 976};

bool has(const char* code, Quantity quantity, double value) {
  for (const CodeReading& reading : decode_marking(code))
    if (reading.quantity == quantity && std::fabs(reading.value - value) <= 1e-12 * std::fabs(value)) return true;
  return false;
}

struct CodeRow {
  const char* code;
  double value;
};

}  // namespace

TEST_CASE("every EIA-96 code gives its published value") {
  constexpr std::array<std::pair<char, double>, 12> letters{{{'Z', 0.001}, {'Y', 0.01}, {'R', 0.01}, {'X', 0.1}, {'S', 0.1}, {'A', 1}, {'B', 10}, {'H', 10},
                                                             {'C', 100}, {'D', 1000}, {'E', 10000}, {'F', 100000}}};
  for (int index = 1; index <= 96; ++index)
    for (const auto& [letter, factor] : letters) {
      char code[4] = {static_cast<char>('0' + index / 10), static_cast<char>('0' + index % 10), letter, 0};
      const auto ohm = eia96_ohm(code);
      REQUIRE_MESSAGE(ohm, code);
      CHECK(*ohm == doctest::Approx(eia96_table[static_cast<std::size_t>(index - 1)] * factor).epsilon(1e-12));
      CHECK(has(code, Quantity::resistance, *ohm));
    }
  for (const char* none : {"00A", "97A", "98C", "99Z", "01G", "1A", "001A", "01a"}) CHECK_FALSE(eia96_ohm(none));
  // Published worked examples, and the misquotes met beside them: 68A is 499 Ω, not 487; 96D is 976 kΩ, not 9.76 MΩ.
  for (const CodeRow& row : {CodeRow{"01Z", 0.1}, CodeRow{"85Y", 7.5}, CodeRow{"47S", 30.1}, CodeRow{"68X", 49.9}, CodeRow{"18A", 150}, CodeRow{"29H", 1960}, CodeRow{"66B", 4750},
                             CodeRow{"10C", 12400}, CodeRow{"01C", 10000}, CodeRow{"51C", 33200}, CodeRow{"30D", 200e3}, CodeRow{"93E", 9.09e6}, CodeRow{"96F", 97.6e6},
                             CodeRow{"68A", 499}, CodeRow{"96D", 976e3}, CodeRow{"01Y", 1.0}})
    CHECK(*eia96_ohm(row.code) == doctest::Approx(row.value).epsilon(1e-12));
}

TEST_CASE("the E series are those of IEC 60063") {
  // Source: IEC 60063 as published elsewhere; E24 from memory; the sums computed outside this project.
  CHECK(preferred_numbers(3) == std::vector<int>{10, 22, 47});
  CHECK(preferred_numbers(6) == std::vector<int>{10, 15, 22, 33, 47, 68});
  CHECK(preferred_numbers(12) == std::vector<int>{10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82});
  const auto sum = [](int series) {
    const std::vector<int> numbers = preferred_numbers(series);
    CHECK(numbers.size() == static_cast<std::size_t>(series));
    CHECK(std::is_sorted(numbers.begin(), numbers.end()));
    return std::accumulate(numbers.begin(), numbers.end(), 0);
  };
  CHECK(sum(24) == 901);
  CHECK(sum(48) == 18313);
  CHECK(sum(96) == 37070);
  CHECK(sum(192) == 74599);  // with 920 in place of the rounded 919 (from memory)
  const std::vector<int> e96 = preferred_numbers(96), e48 = preferred_numbers(48);
  CHECK(std::equal(e96.begin(), e96.end(), eia96_table.begin()));
  for (std::size_t i = 0; i < e48.size(); ++i) CHECK(e48[i] == e96[2 * i]);
  CHECK(preferred_numbers(7).empty());
}

TEST_CASE("the nearest preferred value is by ratio, across decades") {
  // Source: computed outside this project.
  struct Row {
    double value, e24, e96;
  };
  for (const Row& row : {Row{4950, 5100, 4990}, Row{9900, 10000, 10000}, Row{1.05, 1.1, 1.05}, Row{33333, 33000, 33200}, Row{0.0478, 0.047, 0.0475}, Row{998, 1000, 1000}}) {
    CHECK(nearest_preferred(row.value, 24).value == row.e24);
    CHECK(nearest_preferred(row.value, 96).value == row.e96);
    CHECK(nearest_preferred(row.value, 24).deviation == doctest::Approx(row.value / row.e24 - 1));
  }
  for (const int series : preferred_series)
    for (const int number : preferred_numbers(series)) CHECK(std::fabs(nearest_preferred(number, series).deviation) < 1e-12);
}

TEST_CASE("RKM codes read as IEC 60062 says") {
  // Source: IEC 60062 examples as published elsewhere.
  for (const CodeRow& row : {CodeRow{"R47", 0.47}, CodeRow{"4R7", 4.7}, CodeRow{"470R", 470}, CodeRow{"4K7", 4700}, CodeRow{"47K3", 47300}, CodeRow{"470K", 470e3}, CodeRow{"4M7", 4.7e6},
                             CodeRow{"2M2", 2.2e6}, CodeRow{"R10", 0.1}, CodeRow{"1K0", 1000}, CodeRow{"R300", 0.3}, CodeRow{"5L00", 0.005}, CodeRow{"1L50", 0.0015}, CodeRow{"1G0", 1e9}})
    CHECK_MESSAGE(has(row.code, Quantity::resistance, row.value), row.code);
  for (const CodeRow& row : {CodeRow{"p33", 0.33e-12}, CodeRow{"4p7", 4.7e-12}, CodeRow{"10p", 10e-12}, CodeRow{"n15", 150e-12}, CodeRow{"4n7", 4.7e-9}, CodeRow{"2n2", 2.2e-9}, CodeRow{"µ1", 0.1e-6},
                             CodeRow{"u1", 0.1e-6}, CodeRow{"1µ0", 1e-6}, CodeRow{"3m3", 3300e-6}, CodeRow{"100n", 100e-9}, CodeRow{"22p0", 22e-12}})
    CHECK_MESSAGE(has(row.code, Quantity::capacitance, row.value), row.code);
}

TEST_CASE("digit codes of resistors read as published") {
  for (const CodeRow& row : {CodeRow{"220", 22}, CodeRow{"100", 10}, CodeRow{"222", 2200}, CodeRow{"334", 330e3}, CodeRow{"473", 47e3}, CodeRow{"103", 10e3}, CodeRow{"105", 1e6}, CodeRow{"0R22", 0.22},
                             CodeRow{"1000", 100}, CodeRow{"1001", 1000}, CodeRow{"1002", 10e3}, CodeRow{"4992", 49.9e3}, CodeRow{"1004", 1e6}, CodeRow{"12R0", 12}, CodeRow{"10R0", 10}, CodeRow{"4R70", 4.7},
                             CodeRow{"0", 0}, CodeRow{"00", 0}, CodeRow{"000", 0}, CodeRow{"0000", 0}})
    CHECK_MESSAGE(has(row.code, Quantity::resistance, row.value), row.code);
}

TEST_CASE("capacitor codes, tolerance and voltage letters read as published") {
  for (const CodeRow& row : {CodeRow{"100", 10e-12}, CodeRow{"220", 22e-12}, CodeRow{"101", 100e-12}, CodeRow{"471", 470e-12}, CodeRow{"10", 10e-12}, CodeRow{"102", 1e-9}, CodeRow{"103", 10e-9},
                             CodeRow{"104", 100e-9}, CodeRow{"474", 470e-9}, CodeRow{"475", 4.7e-6}, CodeRow{"105", 1e-6}, CodeRow{"106", 10e-6}, CodeRow{"226", 22e-6}, CodeRow{"107", 100e-6}, CodeRow{"477", 470e-6},
                             CodeRow{"479", 4.7e-12}, CodeRow{"109", 1e-12}, CodeRow{"47K", 47e-12}})  // 479, 109: from memory (EIA-198)
    CHECK_MESSAGE(has(row.code, Quantity::capacitance, row.value), row.code);
  // Voltage letters of tantalum capacitors: a maker's sheet; T from memory.
  for (const auto& [letter, volts] : {std::pair('e', 2.5), std::pair('G', 4.0), std::pair('J', 6.3), std::pair('A', 10.0), std::pair('C', 16.0), std::pair('D', 20.0), std::pair('E', 25.0),
                                      std::pair('V', 35.0), std::pair('H', 50.0), std::pair('T', 50.0)})
    CHECK(tantalum_rated_v(letter) == volts);
  CHECK_FALSE(tantalum_rated_v('B'));
  struct RatedRow {
    const char* code;
    double farad, volts;
  };
  for (const RatedRow& row : {RatedRow{"A475", 4.7e-6, 10}, RatedRow{"C106", 10e-6, 16}, RatedRow{"J107", 100e-6, 6.3}, RatedRow{"E226", 22e-6, 25}}) {
    bool found = false;
    for (const CodeReading& reading : decode_marking(row.code)) found = found || (reading.rated_v == row.volts && std::fabs(reading.value - row.farad) < 1e-15);
    CHECK_MESSAGE(found, row.code);
  }
  // Tolerance letters: published for B C D F G J K M and Z; H N by IEC 60062; E L P W Q from memory.
  for (const auto& [letter, part] : {std::pair('B', 0.001), std::pair('C', 0.0025), std::pair('D', 0.005), std::pair('F', 0.01), std::pair('G', 0.02), std::pair('H', 0.03), std::pair('J', 0.05),
                                     std::pair('K', 0.10), std::pair('M', 0.20), std::pair('N', 0.30), std::pair('E', 0.00005), std::pair('L', 0.0001), std::pair('P', 0.0002), std::pair('W', 0.0005)})
    CHECK(tolerance_of_letter(letter, Quantity::resistance, 1000)->plus == part);
  for (const auto& [letter, pf] : {std::pair('B', 0.1), std::pair('C', 0.25), std::pair('D', 0.5), std::pair('F', 1.0), std::pair('G', 2.0)})
    CHECK(*tolerance_of_letter(letter, Quantity::capacitance, 4.7e-12)->absolute_f == doctest::Approx(pf * 1e-12));
  CHECK(tolerance_of_letter('J', Quantity::capacitance, 10e-12)->plus == 0.05);
  CHECK(tolerance_of_letter('C', Quantity::capacitance, 10e-12)->plus == 0.0025);
  CHECK(tolerance_of_letter('Z', Quantity::capacitance, 1e-7)->minus == 0.20);
  CHECK(tolerance_of_letter('Z', Quantity::capacitance, 1e-7)->plus == 0.80);
  CHECK_FALSE(tolerance_of_letter('X', Quantity::resistance, 1));
}

TEST_CASE("a code with two meanings gives both") {
  CHECK(has("10R", Quantity::resistance, 10));
  CHECK(has("10R", Quantity::resistance, 1.24));
  CHECK(has("22R", Quantity::resistance, 22));
  CHECK(has("22R", Quantity::resistance, 1.65));
  CHECK(has("47R", Quantity::resistance, 47));
  CHECK(has("47R", Quantity::resistance, 3.01));
  CHECK(has("2M2", Quantity::resistance, 2.2e6));
  CHECK(has("2M2", Quantity::resistance, 2.2e-3));  // on a shunt
  CHECK(has("47K", Quantity::resistance, 47e3));
  CHECK(has("4K7J", Quantity::resistance, 4700));
  CHECK(print_code_reading(decode_marking("01C").front()) == "10 kΩ ±1 %");
  for (const char* none : {"", "Q", "hello", "12345", "X99", "9999999999999"}) CHECK_MESSAGE(decode_marking(none).empty(), none);
}
