#include "values/preferred_values.h"

#include <cassert>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>

namespace boardlore {
namespace {

constexpr std::array<int, 24> e24{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91};

}  // namespace

std::vector<int> preferred_numbers(int series) {
  std::vector<int> numbers;
  if (series == 3 || series == 6 || series == 12 || series == 24) {
    for (std::size_t i = 0; i < e24.size(); i += static_cast<std::size_t>(24 / series)) numbers.push_back(e24[i]);
  } else if (series == 48 || series == 96 || series == 192) {
    for (int i = 0; i < series; ++i) {
      const int number = static_cast<int>(std::lround(100 * std::pow(10.0, static_cast<double>(i) / series)));
      numbers.push_back(number == 919 ? 920 : number);
    }
  }
  return numbers;
}

PreferredValue nearest_preferred(double value, int series) {
  assert(std::isfinite(value) && value > 0);
  const std::vector<int> numbers = preferred_numbers(series);
  assert(!numbers.empty());
  const int digits = series > 24 ? 2 : 1;
  const int decade = static_cast<int>(std::floor(std::log10(value)));
  PreferredValue best;
  double best_distance = HUGE_VAL;
  for (int exponent = decade - 1; exponent <= decade + 1; ++exponent)
    for (const int number : numbers) {
      // From decimal text, so that 47 and -9 give the double nearest to 4.7e-8.
      const double candidate = std::strtod((std::to_string(number) + "e" + std::to_string(exponent - digits)).c_str(), nullptr);
      const double distance = std::fabs(std::log(value / candidate));
      if (candidate > 0 && distance < best_distance) {
        best_distance = distance;
        best = {series, candidate, value / candidate - 1};
      }
    }
  return best;
}

double usual_tolerance(int series) {
  switch (series) {
    case 6: return 0.20;
    case 12: return 0.10;
    case 24: return 0.05;
    case 48: return 0.02;
    case 96: return 0.01;
    case 192: return 0.005;
    default: return 0;
  }
}

std::string preferred_words(double value, Quantity quantity) {
  if (!(value > 0) || (quantity != Quantity::resistance && quantity != Quantity::capacitance && quantity != Quantity::inductance)) return {};
  for (const int series : preferred_series) {
    if (series == 3) continue;
    if (std::fabs(nearest_preferred(value, series).deviation) < 1e-9) return "an E" + std::to_string(series) + " value";
  }
  std::string text = "no preferred value; nearest";
  for (const int series : {24, 96, 192}) {
    const PreferredValue near = nearest_preferred(value, series);
    char percent[32];
    std::snprintf(percent, sizeof percent, " (%+.2f %%)", near.deviation * 100);
    text += std::string(series == 24 ? " E" : ", E") + std::to_string(series) + " " + print_engineering(near.value, quantity) + percent;
  }
  return text;
}

}  // namespace boardlore
