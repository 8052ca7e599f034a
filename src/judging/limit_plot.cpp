#include "judging/limit_plot.h"

#include <algorithm>
#include <cmath>

namespace boardlore {

LimitPlot limit_plot(const Mark& mark, const std::vector<Reading>& all, Quantity quantity, const std::string& pin, Power power) {
  LimitPlot plot;
  plot.quantity = quantity;
  const PointKey point{mark.id, mark.refdes, pin, quantity, power};
  std::vector<double> seen;
  std::vector<Reading> readings;
  for (const Reading& reading : all)
    if (reading.mark == mark.id && reading.quantity == quantity && reading.pin == pin && reading.conditions.power == power) readings.push_back(reading);
  std::stable_sort(readings.begin(), readings.end(), [](const Reading& a, const Reading& b) { return a.taken_at < b.taken_at; });
  for (const Reading& reading : readings)
    if (reading.qualifier != Qualifier::overload) seen.push_back(reading.value);
  std::vector<double> samples;
  for (const Sample& sample : samples_for(mark, point))
    if (sample.qualifier == Qualifier::exact) samples.push_back(sample.value);
  seen.insert(seen.end(), samples.begin(), samples.end());
  if (const Limit* limit = limit_for(mark, point)) {
    plot.low = limit->low;
    plot.high = limit->high;
    plot.limit_source = limit->source;
    plot.has_band = limit->low || limit->high;
    if (limit->low) seen.push_back(*limit->low);
    if (limit->high) seen.push_back(*limit->high);
  }
  double least = 0, most = 1;
  if (!seen.empty()) {
    least = *std::min_element(seen.begin(), seen.end());
    most = *std::max_element(seen.begin(), seen.end());
  }
  plot.log_axis = (quantity == Quantity::resistance || quantity == Quantity::capacitance) && !seen.empty() && least > 0 && most > 3 * least;
  // A tenth of the axis stays free at either end, and a lone value sits in the middle.
  const auto scaled = [&](double value) { return plot.log_axis ? std::log10(value) : value; };
  double from = scaled(least), to = scaled(most);
  const double margin = to > from ? (to - from) / 8 : std::max(std::fabs(to) / 4, 1e-15);
  from -= margin;
  to += margin;
  const auto place = [&](double value) {
    if (plot.log_axis && !(value > 0)) return 0.0;
    return std::clamp((scaled(value) - from) / (to - from), 0.0, 1.0);
  };
  plot.axis_low = plot.log_axis ? std::pow(10, from) : from;
  plot.axis_high = plot.log_axis ? std::pow(10, to) : to;
  plot.axis_low_label = print_engineering(plot.axis_low, quantity, 3);
  plot.axis_high_label = print_engineering(plot.axis_high, quantity, 3);
  plot.band_from = plot.low ? place(*plot.low) : 0;
  plot.band_to = plot.high ? place(*plot.high) : 1;
  for (const double sample : samples) plot.sample_ticks.push_back(place(sample));
  for (const Reading& reading : readings) {
    const bool over = reading.qualifier == Qualifier::overload;
    plot.readings.push_back({reading.value, over ? 1.0 : place(reading.value), reading.qualifier, over, print_reading(reading)});
  }
  return plot;
}

}  // namespace boardlore
