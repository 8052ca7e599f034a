#include "judging/discharge.h"

#include <doctest/doctest.h>

using namespace boardlore;

TEST_CASE("energy, power and time of a discharge follow the exponential") {
  // Source: V(t) = V0 exp(-t/RC), computed outside this project (reference facts 8.1).
  struct Row {
    double v, r, c, energy, power, to60, to1;
  };
  for (const Row& row : {Row{325, 1e3, 100e-6, 5.28125, 105.625, 0.168948062011, 0.578382518233}, Row{325, 470, 150e-6, 7.921875, 224.734042553, 0.119108383718, 0.407759675354},
                         Row{400, 2.2e3, 220e-6, 17.6, 72.7272727273, 0.918206072685, 2.899868840800}, Row{325, 1e6, 1e-6, 0.0528125, 0.105625, 1.689480620108, 5.783825182329},
                         Row{19, 100, 470e-6, 0.084835, 3.61, 0, 0.138388632021}}) {
    const auto plan = plan_discharge(row.c, row.v, row.r);
    REQUIRE(plan);
    CHECK(plan->energy_j == doctest::Approx(row.energy).epsilon(1e-9));
    CHECK(plan->peak_power_w == doctest::Approx(row.power).epsilon(1e-9));
    CHECK(plan->time_s == doctest::Approx(row.to60).epsilon(1e-9));
    CHECK(plan->time_to_1v_s == doctest::Approx(row.to1).epsilon(1e-9));
    if (plan->time_s > 0) CHECK(plan->average_power_w * plan->time_s == doctest::Approx(plan->energy_in_resistor_j));
  }
  // Source: the same; the largest R that takes 220 µF from 400 V to 60 V in 5 s is 11 979.88 Ω.
  CHECK(plan_discharge(220e-6, 400, 11979.88)->time_s == doctest::Approx(5).epsilon(1e-6));
}

TEST_CASE("a rating below the first power is said to be too small, and nothing says that touching is safe") {
  const auto small = plan_discharge(470e-6, 325, 10e3, 60, 5);
  REQUIRE(small);
  CHECK(small->rating_suffices == false);
  const auto large = plan_discharge(470e-6, 325, 10e3, 60, 11);
  REQUIRE(large);
  CHECK(large->rating_suffices == true);
  std::string all;
  for (const std::string& caution : large->cautions) all += caution;
  CHECK(all.find("Measure the capacitor's voltage before touching") != std::string::npos);
  CHECK(all.find("safe to") == std::string::npos);
  for (const auto& wrong : {plan_discharge(0, 325, 1e3), plan_discharge(1e-6, -1, 1e3), plan_discharge(1e-6, 325, 0), plan_discharge(1e-6, 325, 1e3, 0)}) CHECK_FALSE(wrong);
}
