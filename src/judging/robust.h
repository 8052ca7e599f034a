// Robust statistics: the middle and the spread of a few readings of which one may be wild.
//
// Median of an even count is the mean of the middle two; MAD is the unscaled median of |x - median|.
// Modified z-score: Iglewicz & Hoaglin (1993), 0.6745 (x - median) / MAD, |M| > 3.5 is far out (as told
// by the NIST/SEMATECH e-Handbook 1.3.5.17, from memory). MAD 0 gives no score: never divided.
#pragma once

#include <optional>
#include <vector>

namespace boardlore {

constexpr double modified_z_limit = 3.5;
constexpr std::size_t fewest_for_statistic = 5;

// `values` not empty.
double median(std::vector<double> values);
double median_absolute_deviation(const std::vector<double>& values);
// nullopt: MAD is 0.
std::optional<double> modified_z(double value, double median, double mad);

}  // namespace boardlore
