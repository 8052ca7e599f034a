#include "judging/trend.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "judging/robust.h"

namespace boardlore {
namespace {

constexpr std::size_t most_for_exact = 10;
// A series longer than this is thinned evenly: pairs grow with the square.
constexpr std::size_t most_values = 500;

int sign(double value) { return value > 0 ? 1 : value < 0 ? -1 : 0; }

std::vector<TimedValue> thinned(const std::vector<TimedValue>& series) {
  if (series.size() <= most_values) return series;
  std::vector<TimedValue> kept;
  for (std::size_t i = 0; i < most_values; ++i) kept.push_back(series[i * (series.size() - 1) / (most_values - 1)]);
  return kept;
}

}  // namespace

double exact_tail(std::size_t n, long s) {
  // counts[k]: orders of m values with k pairs that fall; S = pairs - 2k.
  std::vector<double> counts{1};
  for (std::size_t m = 2; m <= n; ++m) {
    std::vector<double> next(counts.size() + m - 1, 0);
    for (std::size_t k = 0; k < counts.size(); ++k)
      for (std::size_t add = 0; add < m; ++add) next[k + add] += counts[k];
    counts = std::move(next);
  }
  const long pairs = static_cast<long>(counts.size()) - 1;
  double all = 0, tail = 0;
  for (long k = 0; k <= pairs; ++k) {
    all += counts[static_cast<std::size_t>(k)];
    if (pairs - 2 * k >= s) tail += counts[static_cast<std::size_t>(k)];
  }
  return tail / all;
}

Trend trend_of(const std::vector<TimedValue>& full) {
  const std::vector<TimedValue> series = thinned(full);
  Trend trend;
  trend.n = series.size();
  std::vector<double> slopes, times, values;
  std::map<double, double> ties;
  for (std::size_t i = 0; i < series.size(); ++i) {
    times.push_back(series[i].at_s);
    values.push_back(series[i].value);
    ties[series[i].value] += 1;
    for (std::size_t j = i + 1; j < series.size(); ++j) {
      trend.s += sign(series[j].value - series[i].value);
      const double apart_s = series[j].at_s - series[i].at_s;
      if (apart_s > 0) slopes.push_back((series[j].value - series[i].value) / apart_s);
    }
  }
  const double n = static_cast<double>(trend.n);
  double tied = 0;
  for (const auto& [value, count] : ties) tied += count * (count - 1) * (2 * count + 5);
  trend.variance = (n * (n - 1) * (2 * n + 5) - tied) / 18;
  if (trend.s != 0 && trend.variance > 0) trend.z = static_cast<double>(trend.s - sign(static_cast<double>(trend.s))) / std::sqrt(trend.variance);
  trend.exact = trend.n <= most_for_exact && ties.size() == trend.n;
  trend.p_one_sided = trend.exact ? exact_tail(trend.n, std::labs(trend.s)) : 0.5 * std::erfc(std::fabs(trend.z) / std::sqrt(2.0));
  if (!slopes.empty()) {
    trend.slope_per_s = median(std::move(slopes));
    trend.intercept = median(values) - *trend.slope_per_s * median(times);
  }
  return trend;
}

}  // namespace boardlore
