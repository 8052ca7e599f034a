#include "judging/robust.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace boardlore {

double median(std::vector<double> values) {
  assert(!values.empty());
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return (*middle + *std::max_element(values.begin(), middle)) / 2;
}

double median_absolute_deviation(const std::vector<double>& values) {
  const double centre = median(values);
  std::vector<double> distances;
  for (const double value : values) distances.push_back(std::fabs(value - centre));
  return median(std::move(distances));
}

std::optional<double> modified_z(double value, double centre, double mad) {
  constexpr double upper_quartile_of_normal = 0.674489750196;  // the published 0.6745, unrounded
  if (!(mad > 0)) return std::nullopt;
  return upper_quartile_of_normal * (value - centre) / mad;
}

}  // namespace boardlore
