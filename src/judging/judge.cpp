#include "judging/judge.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <map>

#include "judging/designator.h"
#include "judging/robust.h"
#include "values/si_number.h"

namespace boardlore {
namespace {

// Diode mode drives about 1 mA: 0.02 V is some 20 Ω. Common practice, no source.
constexpr double diode_short_below_v = 0.02;
// A drift smaller than this part of the median is steady on a bench, however regular. Common practice, no source.
constexpr double smallest_drift = 0.01;
// Readings that scatter wider than this are not called steady. Common practice, no source.
constexpr double widest_steady = 0.10;
constexpr double significance = 0.05;  // one-sided

std::string number(double value, const char* form = "%.3g") {
  std::array<char, 40> text{};
  std::snprintf(text.data(), text.size(), form, value);
  return text.data();
}

// A low resistance is what such a part should show.
bool conducts_by_nature(PartClass part) {
  switch (part) {
    case PartClass::inductor:
    case PartClass::ferrite:
    case PartClass::fuse:
    case PartClass::link:
    case PartClass::transformer:
    case PartClass::switching:
    case PartClass::loudspeaker:
    case PartClass::resistor:
    case PartClass::connector: return true;
    default: return false;
  }
}

class Judge {
 public:
  Judge(const Mark* mark, const LayerSettings& settings, const PointKey& point, const std::vector<Reading>& readings,
        const std::vector<Timestamp>& reworked_at, Timestamp now)
      : mark_(mark), settings_(settings), point_(point), readings_(readings), now_(now), last_(readings.back()) {
    since_ = 0;
    for (const Timestamp rework : reworked_at)
      for (std::size_t i = since_; i < readings.size(); ++i)
        if (readings[i].taken_at > rework) {
          since_ = i;
          break;
        }
    for (const Timestamp rework : reworked_at)
      if (rework < last_.taken_at) rework_ = rework;
  }

  Judgement judge() {
    look_at_trend();
    compare_before_after();
    add_cautions();
    if (!judge_by_limit() && !judge_by_samples() && !judge_by_value()) judge_by_repetition();
    return result_;
  }

 private:
  std::string print(double value) const { return print_engineering(value, point_.quantity); }
  bool overload() const { return last_.qualifier == Qualifier::overload; }
  bool resistance() const { return point_.quantity == Quantity::resistance; }
  void basis(const char* name, double value) { result_.basis.push_back({name, value}); }
  bool decide(Verdict verdict, std::string reason) {
    result_.verdict = verdict;
    result_.reason = std::move(reason);
    return true;
  }

  bool is_short() const {
    if (overload() || last_.qualifier == Qualifier::at_least || last_.value < 0) return false;
    if (resistance()) return last_.value <= settings_.short_below_ohm;
    return point_.quantity == Quantity::diode && last_.value <= diode_short_below_v;
  }
  bool is_open() const {
    if (overload()) return resistance() || point_.quantity == Quantity::diode;
    return resistance() && last_.qualifier != Qualifier::at_most && last_.value >= settings_.open_above_ohm;
  }
  // A rise that was seen or said, well away from a short: the meter is charging a capacitor.
  bool is_charging() const {
    if (!resistance() || overload() || is_open() || last_.conditions.power == Power::on) return false;
    return last_.value >= settings_.charging_above_ohm && (rises_ || last_.said == SaidTrend::rising);
  }
  std::string why_rising() const {
    if (rises_) return "the last " + std::to_string(trend_->n) + " readings rise (Mann-Kendall S " + std::to_string(trend_->s) + ", p " + number(trend_->p_one_sided) + ")";
    return "said to be rising";
  }

  void look_at_trend() {
    std::vector<TimedValue> series;
    for (std::size_t i = since_; i < readings_.size(); ++i)
      if (readings_[i].qualifier == Qualifier::exact)
        series.push_back({static_cast<double>(readings_[i].taken_at.ms - readings_[since_].taken_at.ms) / 1000, readings_[i].value});
    if (series.size() < 2 || last_.qualifier != Qualifier::exact) return;
    trend_ = trend_of(series);
    std::vector<double> values;
    for (const TimedValue& one : series) values.push_back(one.value);
    const auto [least, most] = std::minmax_element(values.begin(), values.end());
    const double middle = std::fabs(median(values));
    spread_ = middle > 0 ? (*most - *least) / middle : (*most > *least ? 1 : 0);
    const bool moves = trend_->p_one_sided < significance && std::fabs(series.back().value - series.front().value) > smallest_drift * middle;
    rises_ = moves && trend_->s > 0;
    falls_ = moves && trend_->s < 0;
    if (trend_->n < 4 && (trend_->s == 1 || trend_->s == 3)) result_.remarks.push_back(std::to_string(trend_->n) + " readings, each higher: too few for a statistic (4 at least)");
    if (rises_ || falls_) {
      basis("mann_kendall_s", static_cast<double>(trend_->s));
      basis("p_one_sided", trend_->p_one_sided);
      if (trend_->slope_per_s) basis("theil_sen_slope_per_s", *trend_->slope_per_s);
    }
    // A constant test current into a capacitor climbs at 1/C ohm a second while it is far below its end.
    if (rises_ && resistance() && trend_->slope_per_s && *trend_->slope_per_s > 0 && last_.value >= settings_.charging_above_ohm) {
      basis("rough_capacitance_f", 1 / *trend_->slope_per_s);
      result_.remarks.push_back("rough estimate: the slope of " + number(*trend_->slope_per_s) + " Ω/s is 1/C, about " +
                                print_engineering(1 / *trend_->slope_per_s, Quantity::capacitance, 2) +
                                " on the line; holds for a meter of constant test current, times as logged, and while the reading is far below where it settles");
    }
  }

  void compare_before_after() {
    if (!rework_) return;
    const Reading* before = nullptr;
    for (const Reading& reading : readings_)
      if (reading.taken_at <= *rework_) before = &reading;
    if (!before) return;
    std::string text = "before the rework " + print_reading(*before) + ", after it " + print_reading(last_);
    if (before->qualifier == Qualifier::exact && last_.qualifier == Qualifier::exact && before->value != 0) {
      basis("before", before->value);
      basis("change", last_.value - before->value);
      const double ratio = last_.value / before->value;
      text += ratio > 0 && (ratio >= 2 || ratio <= 0.5) ? " (" + number(ratio) + " times)" : " (" + number((ratio - 1) * 100, "%+.3g") + " %)";
    }
    result_.before_after = text;
  }

  void add_cautions() {
    if ((resistance() || point_.quantity == Quantity::diode) && last_.conditions.power == Power::on)
      result_.cautions.push_back("taken with power on: not valid, and it can harm the meter; switch off, discharge and measure again");
    if (resistance() && !overload() && last_.value < 0)
      result_.cautions.push_back("negative: the circuit still held a charge; discharge it and measure again");
  }

  bool judge_by_limit() {
    const Limit* limit = mark_ ? limit_for(*mark_, point_) : nullptr;
    if (!limit || (!limit->low && !limit->high)) return false;
    if (limit->low) basis("limit_low", *limit->low);
    if (limit->high) basis("limit_high", *limit->high);
    const std::string source = limit->source.empty() ? " (no source given)" : " (" + limit->source + ")";
    const bool at_least = last_.qualifier == Qualifier::at_least, at_most = last_.qualifier == Qualifier::at_most;
    if (limit->high && (overload() || (!at_most && last_.value > *limit->high))) {
      const std::string reason = (overload() ? "over range, and the high limit is " : print_reading(last_) + " is above the high limit of ") + print(*limit->high) + source;
      return decide(is_open() ? Verdict::open : Verdict::high, reason);
    }
    if (!overload() && limit->low && !at_least && last_.value < *limit->low) {
      const std::string reason = print_reading(last_) + " is below the low limit of " + print(*limit->low) + source;
      if (is_short()) return decide(Verdict::shorted, reason + short_rule());
      if (is_charging()) return decide(Verdict::charging, reason + ", but " + why_rising() + ": charging, not short; wait until it settles");
      return decide(Verdict::low, reason);
    }
    if (at_least && !overload() && limit->low && last_.value < *limit->low)
      return decide(Verdict::nothing_to_compare, print_reading(last_) + " does not tell whether it reaches the low limit of " + print(*limit->low) + source);
    if (!overload() && limit->high && at_least && last_.value <= *limit->high)
      return decide(Verdict::nothing_to_compare, print_reading(last_) + " does not tell whether it stays below the high limit of " + print(*limit->high) + source);
    if (at_most && limit->low)
      return decide(Verdict::nothing_to_compare, print_reading(last_) + " does not tell whether it reaches the low limit of " + print(*limit->low) + source);
    std::string reason = print_reading(last_) + " is within " + (limit->low && limit->high ? print(*limit->low) + " to " + print(*limit->high)
                         : limit->low ? "the limit of at least " + print(*limit->low) : "the limit of at most " + print(*limit->high)) + source;
    if (rises_) reason += is_charging() ? "; still rising: charging" : "; drifting up";
    if (falls_) reason += "; drifting down";
    return decide(Verdict::within_limits, reason);
  }

  std::string short_rule() const {
    return resistance() ? "; at or below " + print(settings_.short_below_ohm) + " is a dead short here" : "; about 0 V in diode mode is a short";
  }

  // States what known good units showed; decides only with enough of them.
  bool judge_by_samples() {
    if (!mark_) return false;
    const std::vector<Sample> samples = samples_for(*mark_, point_);
    has_samples_ = !samples.empty();
    if (!has_samples_) return false;
    std::vector<double> exact;
    Timestamp newest = samples[0].taken_at, oldest = newest;
    std::size_t overloads = 0;
    for (const Sample& sample : samples) {
      newest = std::max(newest, sample.taken_at);
      oldest = std::min(oldest, sample.taken_at);
      if (sample.qualifier == Qualifier::exact) exact.push_back(sample.value);
      if (sample.qualifier == Qualifier::overload) ++overloads;
    }
    const auto days = [&](Timestamp at) { return std::max<std::int64_t>(0, (now_.ms - at.ms) / 86400000); };
    const std::string told = std::to_string(samples.size()) + (samples.size() == 1 ? " known good unit, " : " known good units, ") +
                             std::to_string(days(newest)) + (days(oldest) == days(newest) ? "" : " to " + std::to_string(days(oldest))) + " days old";
    basis("samples", static_cast<double>(samples.size()));
    basis("newest_sample_days", static_cast<double>(days(newest)));
    basis("oldest_sample_days", static_cast<double>(days(oldest)));
    if (overload() && overloads == samples.size()) return enough(samples.size(), Verdict::within_limits, "over range, as on " + told);
    if (exact.empty()) {
      result_.remarks.push_back(told + (overloads > 0 ? ": over range" : ": no exact value"));
      return false;
    }
    const auto [least, most] = std::minmax_element(exact.begin(), exact.end());
    basis("seen_low", *least);
    basis("seen_high", *most);
    result_.remarks.push_back(told + ": " + print(*least) + (*least < *most ? " to " + print(*most) : ""));
    if (exact.size() < fewest_for_statistic || last_.qualifier != Qualifier::exact) return false;
    return judge_by_statistic(exact, *least, *most, told);
  }
  bool enough(std::size_t count, Verdict verdict, const std::string& reason) {
    if (count >= fewest_for_statistic) return decide(verdict, reason);
    result_.remarks.push_back(reason);
    return false;
  }
  bool judge_by_statistic(const std::vector<double>& exact, double least, double most, const std::string& told) {
    const bool log_scale = (resistance() || point_.quantity == Quantity::capacitance) && least > 0 && last_.value > 0;
    const auto scaled = [&](double value) { return log_scale ? std::log(value) : value; };
    std::vector<double> values;
    for (const double value : exact) values.push_back(scaled(value));
    const double middle = median(values), mad = median_absolute_deviation(values);
    const auto z = modified_z(scaled(last_.value), middle, mad);
    const double shown = log_scale ? std::exp(middle) : middle;
    basis("median", shown);
    basis("mad", mad);
    if (!z) {
      // Samples all alike leave no spread to judge by: only what equals them is said to be so.
      if (last_.value >= least && last_.value <= most) return decide(Verdict::within_limits, print_reading(last_) + " is as on " + told + ", which hardly differ");
      result_.remarks.push_back("the samples hardly differ: no spread to judge by");
      return false;
    }
    basis("modified_z", *z);
    const std::string reason = print_reading(last_) + " against a median of " + print(shown) + " on " + told + ": modified z " + number(*z) +
                               (log_scale ? " (log scale)" : "") + ", far out beyond " + number(modified_z_limit);
    if (*z > modified_z_limit) return decide(is_open() ? Verdict::open : Verdict::high, reason);
    if (*z < -modified_z_limit) {
      if (is_short()) return decide(Verdict::shorted, reason + short_rule());
      if (is_charging()) return decide(Verdict::charging, reason + ", but " + why_rising() + ": charging, not short; wait until it settles");
      return decide(Verdict::low, reason);
    }
    return decide(Verdict::within_limits, reason);
  }

  bool judge_by_value() {
    const PartClass part = part_class(point_.refdes);
    if (is_short()) {
      basis("short_below", resistance() ? settings_.short_below_ohm : diode_short_below_v);
      if (resistance() && conducts_by_nature(part))
        return decide(Verdict::nothing_to_compare, print_reading(last_) + ": low, as is usual here (" + std::string(class_name(part)) + "); no limit, and too few known good units to judge by");
      return decide(Verdict::shorted, print_reading(last_) + short_rule());
    }
    if (is_open()) {
      basis("open_above", settings_.open_above_ohm);
      return decide(Verdict::open, resistance() ? print_reading(last_) + "; over range, or at or above " + print(settings_.open_above_ohm) + ", is open here"
                                                : "over range in diode mode: no junction in this direction, or an open line");
    }
    if (overload()) return decide(Verdict::nothing_to_compare, "over range, and no limit to compare with");
    if (is_charging()) {
      basis("charging_above", settings_.charging_above_ohm);
      return decide(Verdict::charging, print_reading(last_) + ": " + why_rising() + " and far above the short threshold of " + print(settings_.short_below_ohm) +
                                           ": charging, not short");
    }
    return false;
  }

  void judge_by_repetition() {
    if (rises_ || falls_) {
      std::string reason = "the last " + std::to_string(trend_->n) + " readings " + (rises_ ? "rise" : "fall") + " (Mann-Kendall S " + std::to_string(trend_->s) +
                           ", p " + number(trend_->p_one_sided) + ")";
      if (trend_->slope_per_s) reason += ", " + number(*trend_->slope_per_s) + " " + std::string(unit_symbol(point_.quantity)) + " a second";
      decide(rises_ ? Verdict::drifting_up : Verdict::drifting_down, reason);
    } else if (trend_ && trend_->n >= 4 && spread_ <= widest_steady) {
      decide(Verdict::steady, std::to_string(trend_->n) + " readings within " + number(spread_ * 100) + " % of each other, no trend (p " + number(trend_->p_one_sided) + ")");
    } else if (last_.said == SaidTrend::rising || last_.said == SaidTrend::falling) {
      decide(*last_.said == SaidTrend::rising ? Verdict::drifting_up : Verdict::drifting_down, std::string("said to be ") + (*last_.said == SaidTrend::rising ? "rising" : "falling"));
    } else if (last_.said == SaidTrend::steady) {
      decide(Verdict::steady, print_reading(last_) + ", said to be steady; no limit on this point");
    } else {
      decide(Verdict::nothing_to_compare, print_reading(last_) + ": no limit on this point" + (has_samples_ ? ", too few known good units" : " and no known good unit"));
    }
  }

  const Mark* mark_;
  const LayerSettings& settings_;
  const PointKey& point_;
  const std::vector<Reading>& readings_;
  Timestamp now_;
  const Reading& last_;
  std::size_t since_ = 0;               // first reading after the last rework
  std::optional<Timestamp> rework_;
  std::optional<Trend> trend_;
  double spread_ = 0;
  bool rises_ = false, falls_ = false, has_samples_ = false;
  Judgement result_;
};

}  // namespace

const Limit* limit_for(const Mark& mark, const PointKey& point) {
  const Limit* best = nullptr;
  int best_rank = -1;
  for (const Limit& limit : mark.limits) {
    if (limit.quantity != point.quantity || (limit.power && *limit.power != point.power)) continue;
    if (!limit.pin.empty() && limit.pin != point.pin) continue;
    const int rank = (limit.pin.empty() ? 0 : 2) + (limit.power ? 1 : 0);
    if (rank > best_rank) {
      best = &limit;
      best_rank = rank;
    }
  }
  return best;
}

std::vector<Sample> samples_for(const Mark& mark, const PointKey& point) {
  std::vector<Sample> found;
  for (const Sample& sample : mark.samples)
    if (sample.quantity == point.quantity && sample.pin == point.pin && sample.power == point.power) found.push_back(sample);
  return found;
}

Judgement judge_point(const Mark* mark, const LayerSettings& settings, const PointKey& point, const std::vector<Reading>& readings,
                      const std::vector<Timestamp>& reworked_at, Timestamp now) {
  if (readings.empty()) return {Verdict::nothing_to_compare, "no reading yet", {}, {}, {}, {}};
  return Judge(mark, settings, point, readings, reworked_at, now).judge();
}

}  // namespace boardlore
