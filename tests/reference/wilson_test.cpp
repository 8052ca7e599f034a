#include <doctest/doctest.h>

#include "judging/fault_ranking.h"

using namespace boardlore;

TEST_CASE("the Wilson interval agrees with published and recomputed values") {
  // Source: reference facts 9.4. 6/32 is published there ([104]: 0.08889545, 0.35309155); the others were
  // computed in three ways (formula, statsmodels, scipy). 81/263, 15/148, 0/20 and 1/29 are Newcombe's (1998)
  // examples, attribution from memory.
  const struct {
    int hits, jobs;
    double low, high;
  } rows[] = {{6, 32, 0.0888954469, 0.3530915520},    {81, 263, 0.2552885199, 0.3662095770},
              {15, 148, 0.0623863995, 0.1604872417},  {0, 20, 0, 0.1611251581},
              {1, 29, 0.0061132143, 0.1717552188},    {5, 5, 0.5655175352, 1},
              {9, 10, 0.5958499732, 0.9821237869},    {10, 10, 0.7224672001, 1},
              {19, 20, 0.7638688066, 0.9911185512},   {23, 60, 0.2708827237, 0.5098240418},
              {0, 5, 0, 0.4344824648},                {0, 1, 0, 0.7934506856}};
  for (const auto& row : rows) {
    CAPTURE(row.hits);
    CAPTURE(row.jobs);
    const ShareInterval interval = wilson_interval(row.hits, row.jobs);
    CHECK(interval.low == doctest::Approx(row.low).epsilon(1e-9));
    CHECK(interval.high == doctest::Approx(row.high).epsilon(1e-9));
  }
}

TEST_CASE("the interval is exact at the ends, holds the share, and narrows with jobs") {
  CHECK(wilson_interval(0, 0).low == 0);
  CHECK(wilson_interval(0, 0).high == 1);
  for (int jobs = 1; jobs <= 200; ++jobs)
    for (int hits = 0; hits <= jobs; ++hits) {
      const ShareInterval interval = wilson_interval(hits, jobs), other = wilson_interval(jobs - hits, jobs);
      const double share = static_cast<double>(hits) / jobs;
      REQUIRE(interval.low <= share);
      REQUIRE(interval.high >= share);
      REQUIRE(interval.low >= 0);
      REQUIRE(interval.high <= 1);
      // Cured and not cured are two sides of one thing.
      REQUIRE(interval.low == doctest::Approx(1 - other.high).epsilon(1e-12));
      const ShareInterval tenfold = wilson_interval(10 * hits, 10 * jobs);
      REQUIRE(tenfold.high - tenfold.low < interval.high - interval.low);
    }
  CHECK(wilson_interval(0, 7).low == 0);
  CHECK(wilson_interval(7, 7).high == 1);
}
