// Judges readings: against limits, against known good units, against the readings before.
//
// The order of evidence: a limit on the mark comes first; then five or more samples (modified z-score, on a
// log scale for resistance and capacitance); then what the value itself says (a dead short, open, a charging
// capacitor); then repetition (Mann-Kendall). The thresholds are the layer's settings. A rising resistance
// far above the short threshold is a capacitor charging, not a short, whatever a low limit says meanwhile.
#pragma once

#include <map>

#include "domain/job.h"
#include "judging/trend.h"
#include "judging/verdict.h"

namespace boardlore {

// One place measured for one quantity under one power state.
struct PointKey {
  Id mark;
  std::string refdes, pin;
  Quantity quantity = Quantity::resistance;
  Power power = Power::off;
  bool operator==(const PointKey&) const = default;
};

struct JudgedPoint {
  PointKey point;
  std::vector<Reading> readings;  // in the order taken; empty: has a limit or is wanted, never read
  Judgement judgement;
};

// The limit that holds for the point: that of its pin before one without a pin; nullptr: none.
const Limit* limit_for(const Mark& mark, const PointKey& point);
std::vector<Sample> samples_for(const Mark& mark, const PointKey& point);

// `readings`: all of the point up to the judged one, which is last; `reworked_at`: the rework actions on the
// mark, in order; `now` for the samples' age. `mark` nullptr: it is no longer on the board.
Judgement judge_point(const Mark* mark, const LayerSettings& settings, const PointKey& point, const std::vector<Reading>& readings,
                      const std::vector<Timestamp>& reworked_at, Timestamp now);

// Every point of the job that was read, has a limit or is wanted; by designator, pin, quantity.
std::vector<JudgedPoint> judge_job(const Layer& layer, const Job& job, Timestamp now);
// Each reading as it stood when it was taken, in the job's order.
std::vector<Judgement> judge_readings(const Layer& layer, const Job& job, Timestamp now);
// The worst of the mark's points that were read; nullopt: none was.
std::optional<Judgement> worst_verdict(const Layer& layer, const Job& job, const Id& mark, Timestamp now);

// The same for every mark that was read, in one pass: for a worklist.
std::map<Id, Judgement> worst_verdicts(const Layer& layer, const Job& job, Timestamp now);

PointKey point_of(const Reading& reading);
// "replaced", "reflowed" ... change the point; "inspected" and "cleaned" do not start a new series.
bool is_rework(std::string_view action);
// The order people expect: C2 before C10.
bool designator_before(std::string_view one, std::string_view other);

// "10.5 kΩ" as typed, "> 20 MΩ", "OL".
std::string print_reading(const Reading& reading);

}  // namespace boardlore
