#include "judging/judge.h"

#include <cmath>

#include <doctest/doctest.h>

#include "domain/layer.h"

using namespace boardlore;

namespace {

struct Bench {  // one mark and its readings
  Mark mark;
  LayerSettings settings;
  std::vector<Reading> readings;
  std::vector<Timestamp> reworks;
  explicit Bench(const char* refdes) { mark.refdes = refdes, mark.id = Id{"m"}; }
  Bench& limit(Quantity quantity, std::optional<double> low, std::optional<double> high) {
    mark.limits.push_back({Id{"l"}, quantity, "", std::nullopt, low, high, "service sheet", {}});
    return *this;
  }
  Bench& samples(Quantity quantity, std::initializer_list<double> values) {
    for (const double value : values) mark.samples.push_back({Id{"s"}, quantity, "", Qualifier::exact, value, Power::off, Timestamp{0}, {}});
    return *this;
  }
  Bench& read(Quantity quantity, double value, Qualifier qualifier = Qualifier::exact, std::int64_t at_s = -1) {
    Reading reading;
    reading.mark = mark.id, reading.refdes = mark.refdes, reading.quantity = quantity, reading.value = value, reading.qualifier = qualifier;
    reading.taken_at.ms = (at_s < 0 ? 1000 + static_cast<std::int64_t>(readings.size()) : at_s) * 1000;
    readings.push_back(reading);
    return *this;
  }
  Judgement judge() const { return judge_point(&mark, settings, point_of(readings.back()), readings, reworks, Timestamp{10 * 86400000LL}); }
};
using enum Quantity;

}  // namespace

TEST_CASE("a limit decides first, and its source is named") {
  CHECK(Bench("U3").limit(diode, 0.4, 0.6).read(diode, 0.452).judge().verdict == Verdict::within_limits);
  CHECK(Bench("U3").limit(diode, 0.4, 0.6).read(diode, 0.4).judge().verdict == Verdict::within_limits);
  CHECK(Bench("U3").limit(diode, 0.4, 0.6).read(diode, 0.39).judge().verdict == Verdict::low);
  CHECK(Bench("U3").limit(diode, 0.4, 0.6).read(diode, 0.61).judge().verdict == Verdict::high);
  CHECK(Bench("U3").limit(diode, 0.4, 0.6).read(diode, 0.001).judge().verdict == Verdict::shorted);
  CHECK(Bench("U3").limit(diode, 0.4, 0.6).read(diode, 0, Qualifier::overload).judge().verdict == Verdict::open);
  CHECK(Bench("J2").limit(resistance, 1e6, std::nullopt).read(resistance, 20e6, Qualifier::at_least).judge().verdict == Verdict::within_limits);
  CHECK(Bench("J2").limit(resistance, 1e6, std::nullopt).read(resistance, 0, Qualifier::overload).judge().verdict == Verdict::within_limits);
  CHECK(Bench("J2").limit(resistance, 1e6, std::nullopt).read(resistance, 1e5, Qualifier::at_least).judge().verdict == Verdict::nothing_to_compare);
  const Judgement low = Bench("U3").limit(diode, 0.4, 0.6).read(diode, 0.39).judge();
  CHECK(low.reason == "390 mV is below the low limit of 400 mV (service sheet)");
}

TEST_CASE("a capacitor across a rail at tens of kilohms and drifting is not a short") {
  // Source: common practice, no source (reference facts, topic 13).
  const Judgement judged = Bench("C14").limit(resistance, 20e3, std::nullopt).read(resistance, 10.2e3).read(resistance, 10.9e3).read(resistance, 11.4e3)
                               .read(resistance, 12.0e3).judge();
  CHECK(judged.verdict == Verdict::charging);
  CHECK_FALSE(is_out_of_limits(judged.verdict));
  CHECK(judged.reason.find("charging, not short") != std::string::npos);
  CHECK(Bench("C14").read(resistance, 40e3).read(resistance, 39e3).judge().verdict != Verdict::shorted);
  // A steady low one is.
  CHECK(Bench("C14").read(resistance, 0.4).read(resistance, 0.4).read(resistance, 0.4).read(resistance, 0.4).judge().verdict == Verdict::shorted);
}

TEST_CASE("three readings never make a trend; four perfect ones do") {
  // Source: exact one-sided P(S >= 6), n = 4 is 1/24 = 0.0417 (by counting orders).
  CHECK(Bench("U3").read(resistance, 100).read(resistance, 120).read(resistance, 140).judge().verdict == Verdict::nothing_to_compare);
  CHECK(Bench("U3").read(resistance, 100).read(resistance, 120).read(resistance, 140).read(resistance, 160).judge().verdict == Verdict::drifting_up);
  CHECK(Bench("U3").read(resistance, 160).read(resistance, 140).read(resistance, 120).read(resistance, 100).judge().verdict == Verdict::drifting_down);
  CHECK(Bench("U3").read(resistance, 100.0).read(resistance, 100.1).read(resistance, 100.2).read(resistance, 100.3).judge().verdict == Verdict::steady);
}

TEST_CASE("a coin cell of about 3.2 V is good and one with no reading is not") {
  // Source: common practice, no source (reference facts, topic 13).
  CHECK(Bench("BT1").limit(voltage, 2.9, 3.5).read(voltage, 3.2).judge().verdict == Verdict::within_limits);
  CHECK(is_out_of_limits(Bench("BT1").limit(voltage, 2.9, 3.5).read(voltage, 0).judge().verdict));
}

TEST_CASE("fewer than five known good units give a seen range, no statistic") {
  const Judgement few = Bench("U3").samples(diode, {0.45, 0.46, 0.47, 0.46}).read(diode, 0.9).judge();
  CHECK(few.verdict == Verdict::nothing_to_compare);
  REQUIRE(few.remarks.size() == 1);
  CHECK(few.remarks[0] == "4 known good units, 10 days old: 450 mV to 470 mV");
  const Judgement enough = Bench("U3").samples(diode, {0.45, 0.46, 0.47, 0.46, 0.455}).read(diode, 0.9).judge();
  CHECK(enough.verdict == Verdict::high);
  CHECK(enough.reason.find("5 known good units, 10 days old") != std::string::npos);
  CHECK(Bench("U3").samples(diode, {0.45, 0.46, 0.47, 0.46, 0.455}).read(diode, 0.458).judge().verdict == Verdict::within_limits);
}

TEST_CASE("a dead short and an open follow the layer's settings") {
  CHECK(Bench("C14").read(resistance, 1.0).judge().verdict == Verdict::shorted);
  CHECK(Bench("C14").read(resistance, 1.1).judge().verdict == Verdict::nothing_to_compare);
  CHECK(Bench("C14").read(resistance, 20e6, Qualifier::at_least).judge().verdict == Verdict::open);
  Bench other("C14");
  other.settings.short_below_ohm = 5;
  CHECK(other.read(resistance, 4).judge().verdict == Verdict::shorted);
  // An inductor conducts by nature.
  CHECK(Bench("L2").read(resistance, 0.3).judge().verdict == Verdict::nothing_to_compare);
  CHECK(Bench("F1").read(resistance, 0, Qualifier::overload).judge().verdict == Verdict::open);
}

TEST_CASE("the same point is compared before and after the rework") {
  Bench bench("C14");
  bench.read(resistance, 0.4, Qualifier::exact, 100).read(resistance, 12e3, Qualifier::exact, 300);
  bench.reworks = {Timestamp{200000}};
  const Judgement judged = bench.judge();
  CHECK(judged.before_after == "before the rework 400 mΩ, after it 12 kΩ (3e+04 times)");
  CHECK(judged.verdict != Verdict::drifting_up);
}

TEST_CASE("the slope of a charging capacitor gives a rough capacitance") {
  // Source: circuit theory; 100 µF under a constant current climbs at 10 000 Ω/s (reference facts 8.2).
  Bench bench("C14");
  for (int t = 1; t <= 5; ++t) bench.read(resistance, 1e6 * (1 - std::exp(-t / 100.0)), Qualifier::exact, 1000 + t);
  const Judgement judged = bench.judge();
  CHECK(judged.verdict == Verdict::charging);
  double found = 0;
  for (const Basis& basis : judged.basis)
    if (basis.name == "rough_capacitance_f") found = basis.value;
  CHECK(found == doctest::Approx(100e-6).epsilon(0.05));
}

TEST_CASE("resistance with power on gets a caution") {
  Bench bench("R5");
  bench.read(resistance, 4700);
  bench.readings.back().conditions.power = Power::on;
  CHECK(bench.judge().cautions.size() == 1);
}
