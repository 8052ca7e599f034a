// Does a series of looks at one point rise or fall, and how fast?
//
// Mann-Kendall asks whether later readings are larger more often than chance allows; Theil-Sen gives a
// slope that one wild reading cannot move. Exact null distribution up to 10 readings without ties
// (Kendall's counting), else the normal approximation with ties (Gilbert 1987, pp. 208-213, as published
// elsewhere; see tests/reference/trend_test.cpp). Three readings can never show a trend at 5 %.
#pragma once

#include <optional>
#include <vector>

namespace boardlore {

struct TimedValue {
  double at_s = 0;
  double value = 0;
};

struct Trend {
  std::size_t n = 0;
  long s = 0;                  // Mann-Kendall S
  double variance = 0;         // of S, with ties
  double z = 0;                // normal approximation, continuity corrected
  double p_one_sided = 1;      // that chance gives an S as far out on this side; exact where it can be
  bool exact = false;
  std::optional<double> slope_per_s;  // Theil-Sen; nullopt: all at one time
  double intercept = 0;        // median(value) - slope * median(time)
};

// In the order taken; times may repeat (then they give no slope). At least one value.
Trend trend_of(const std::vector<TimedValue>& series);

// P(S >= s) for n values without ties; n <= 10.
double exact_tail(std::size_t n, long s);

}  // namespace boardlore
