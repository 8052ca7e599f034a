// The small plot of one point: limits as a band, known good units as ticks, this job's readings in order.
// A pure description; whoever draws it maps `place` (0 at the low end of the axis, 1 at the high end).
#pragma once

#include "judging/judge.h"

namespace boardlore {

struct PlottedReading {
  double value = 0;
  double place = 0;       // clamped to 0..1
  Qualifier qualifier = Qualifier::exact;
  bool off_axis = false;  // overload: drawn as an arrow at the high end
  std::string label;      // "10.5 kΩ", "OL"
};

struct LimitPlot {
  Quantity quantity = Quantity::resistance;
  bool log_axis = false;
  double axis_low = 0, axis_high = 1;         // base unit
  std::optional<double> low, high;            // the limit; one side may be open
  double band_from = 0, band_to = 1;          // places of the band; an open side runs to the end of the axis
  bool has_band = false;
  std::vector<double> sample_ticks;           // places
  std::vector<PlottedReading> readings;       // in the order taken
  std::string axis_low_label, axis_high_label;
  std::string limit_source;
  bool empty() const { return readings.empty() && !has_band && sample_ticks.empty(); }
};

// All readings of the job may be given; those of other points are left out. Resistance and capacitance on a
// log axis where all is positive and spans more than 3 to 1.
LimitPlot limit_plot(const Mark& mark, const std::vector<Reading>& readings, Quantity quantity, const std::string& pin,
                     Power power = Power::off);

}  // namespace boardlore
