// Preferred values: IEC 60063 series E3 to E192, and how far a value lies from the nearest.
//
// E3 to E24 are the historical list of two digits (E24, every 2nd, 4th, 8th of it); E48, E96 and E192 are
// 100 * 10^(i/n) rounded to three digits, with the one exception 920 in E192 (rule by computation,
// exception from memory). Nearest is by ratio, and may be in the next decade.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "values/quantity.h"

namespace boardlore {

constexpr std::array<int, 7> preferred_series{3, 6, 12, 24, 48, 96, 192};

// The series' numbers in one decade, as integers of two digits (E3 to E24) or three; empty: no such series.
std::vector<int> preferred_numbers(int series);

struct PreferredValue {
  int series = 0;
  double value = 0;
  double deviation = 0;  // of the given value from it: +0.02 is 2 % above
};

// `value` positive and finite.
PreferredValue nearest_preferred(double value, int series);
// "an E24 value", or the nearest of E24, E96 and E192 with the deviation; empty for what comes in no series.
std::string preferred_words(double value, Quantity quantity);
// The usual tolerance of the series, as a part: 0.2 for E6; 0 where none is usual.
double usual_tolerance(int series);

}  // namespace boardlore
