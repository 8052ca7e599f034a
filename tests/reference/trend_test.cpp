// Mann-Kendall, Theil-Sen, MAD and modified z-score against published examples, exact counting and scipy.
#include <doctest/doctest.h>

#include <cmath>
#include <cstdio>
#include <fstream>
#include <filesystem>
#include <random>
#include <sstream>

#include "judging/robust.h"
#include "judging/trend.h"

using namespace boardlore;

namespace {

std::vector<TimedValue> in_order(const std::vector<double>& values) {
  std::vector<TimedValue> series;
  for (std::size_t i = 0; i < values.size(); ++i) series.push_back({static_cast<double>(i), values[i]});
  return series;
}

}  // namespace

TEST_CASE("Mann-Kendall and Theil-Sen give the published figures") {
  struct Row {
    const char* source;
    std::vector<double> values;
    long s;
    double variance, z, slope;
  };
  std::vector<double> to_100;
  for (int i = 1; i <= 100; ++i) to_100.push_back(i);
  const Row rows[] = {
      // S: Wisconsin Administrative Code, table A; the rest computed with scipy and the formula.
      {"Wisconsin code table A", {100, 50, 85, 75, 50}, -5, 15.666667, -1.010582, -9.166667},
      // S, Var, Z: a published Mann-Kendall package's tests.
      {"1 to 100", to_100, 4950, 112750, 14.73869998208331, 1},
      // Tie groups published in a help page on Mann-Kendall; numbers computed.
      {"three tie groups", {17, 14, 39, 16, 39, 14, 14, 39, 17, 39}, 7, 111.666667, 0.567792, 0},
      {"said to be EPA QA/G-9 (from memory)", {5, 6, 11, 8, 10}, 6, 16.666667, 1.224745, 1.125},
      {"a charging rail", {12.0, 14.5, 17.2, 19.1, 22.8, 24.0, 27.3, 29.9, 31.2, 34.6}, 45, 125, 3.935480, 2.5},
      {"a steady rail", {3.30, 3.31, 3.29, 3.30, 3.31, 3.30, 3.29, 3.30}, -4, 54.666667, -0.405751, 0},
      {"one wild value moves no slope", {1, 2, 3, 4, 50, 6, 7, 8, 9}, 28, 92, 2.814945, 1}};
  for (const Row& row : rows) {
    INFO(row.source);
    const Trend trend = trend_of(in_order(row.values));
    CHECK(trend.s == row.s);
    CHECK(trend.variance == doctest::Approx(row.variance).epsilon(1e-6));
    CHECK(trend.z == doctest::Approx(row.z).epsilon(1e-6));
    REQUIRE(trend.slope_per_s);
    CHECK(*trend.slope_per_s == doctest::Approx(row.slope).epsilon(1e-6));
  }
  // Uneven times; computed with scipy.
  const Trend uneven = trend_of({{0, 11.8}, {10, 14.1}, {20, 16.0}, {35, 18.9}, {60, 22.7}, {90, 26.9}, {120, 30.2}});
  CHECK(uneven.s == 21);
  CHECK(*uneven.slope_per_s == doctest::Approx(0.16));
  CHECK(trend_of(in_order({5, 6, 11, 8, 10})).p_one_sided == doctest::Approx(0.11667).epsilon(1e-4));
}

TEST_CASE("the exact tail of S is Kendall's, for small counts") {
  // Source: enumeration of all orders, outside this project; Gilbert (1987) tables up to 10.
  struct Row {
    std::size_t n;
    long s;
    double p;
  };
  for (const Row& row : {Row{4, 2, 0.37500}, Row{4, 4, 0.16667}, Row{4, 6, 0.04167}, Row{5, 4, 0.24167}, Row{5, 6, 0.11667}, Row{5, 8, 0.04167}, Row{5, 10, 0.00833}, Row{6, 7, 0.13611},
                         Row{6, 9, 0.06806}, Row{6, 11, 0.02778}, Row{6, 13, 0.00833}, Row{6, 15, 0.00139}, Row{7, 9, 0.11944}, Row{7, 11, 0.06806}, Row{7, 13, 0.03452}, Row{7, 15, 0.01508},
                         Row{7, 17, 0.00536}, Row{8, 12, 0.08943}, Row{8, 14, 0.05434}, Row{8, 16, 0.03051}, Row{8, 18, 0.01558}, Row{8, 20, 0.00707}, Row{9, 14, 0.09009}, Row{9, 16, 0.05972},
                         Row{9, 18, 0.03759}, Row{9, 20, 0.02231}, Row{9, 24, 0.00633}, Row{10, 17, 0.07787}, Row{10, 19, 0.05416}, Row{10, 21, 0.03628}, Row{10, 23, 0.02331}, Row{10, 27, 0.00833}})
    CHECK(std::fabs(exact_tail(row.n, row.s) - row.p) < 6e-6);
}

TEST_CASE("the modified z-score gives the worked figures") {
  // Source: the formula of Iglewicz and Hoaglin (published); numbers computed outside this project.
  struct Row {
    std::vector<double> values;
    double median, mad;
    std::vector<double> scores;
  };
  for (const Row& row : {Row{{412, 415, 409, 418, 411, 414, 37.5, 416, 410}, 412, 3, {0, 0.6745, -0.6745, 1.349, -0.2248, 0.4497, -84.2001, 0.8993, -0.4497}},
                         Row{{0.512, 0.515, 0.509, 0.518, 0.511, 0.742, 0.514}, 0.514, 0.003, {-0.4497, 0.2248, -1.1242, 0.8993, -0.6745, 51.2620, 0}},
                         Row{{2.1, 2.3, 2.2, 2.4, 2.2, 9.9}, 2.25, 0.1, {-1.0118, 0.3372, -0.3372, 1.0118, -0.3372, 51.5993}},
                         Row{{2.1, 2.6, 2.4, 2.5, 2.3, 2.1, 2.3, 2.6, 8.2, 8.3}, 2.45, 0.15, {-1.5738, 0.6745, -0.2248, 0.2248, -0.6745, -1.5738, -0.6745, 0.6745, 25.8558, 26.3055}}}) {
    CHECK(median(row.values) == doctest::Approx(row.median));
    CHECK(median_absolute_deviation(row.values) == doctest::Approx(row.mad));
    // The published scores use 0.6745 for 0.674489750196: equal to 2 in 100 000.
    for (std::size_t i = 0; i < row.values.size(); ++i)
      CHECK(std::fabs(*modified_z(row.values[i], row.median, row.mad) - row.scores[i]) <= (6e-5 + 2e-5 * std::fabs(row.scores[i])));
  }
  CHECK_FALSE(modified_z(9, 5, median_absolute_deviation({5, 5, 5, 5, 9})));
}

TEST_CASE("random series agree with scipy") {
  // Source: scipy.stats.kendalltau, theilslopes, median_abs_deviation (Debian python3-scipy), one process.
  std::mt19937_64 random(20);
  std::vector<std::vector<TimedValue>> cases;
  for (int i = 0; i < 200; ++i) {
    std::vector<TimedValue> series;
    double at = 0;
    const std::size_t n = 3 + random() % 40;
    for (std::size_t j = 0; j < n; ++j) {
      at += 1 + static_cast<double>(random() % 5);
      const double value = static_cast<double>(random() % (i % 2 == 0 ? 10 : 1000000)) / 10 + static_cast<double>(j) * static_cast<double>(i % 7);
      series.push_back({at, value});
    }
    cases.push_back(std::move(series));
  }
  const std::filesystem::path dir = std::filesystem::temp_directory_path();
  const std::string stem = (dir / ("boardlore_trend_" + std::to_string(random()))).string(), script = stem + ".py", input = stem + ".txt", output = stem + ".out";
  std::ofstream(script) << "import sys\ntry:\n import numpy as np\n from scipy import stats\nexcept ImportError:\n print('skipped'); sys.exit(0)\n"
                           "for line in open(sys.argv[1]):\n"
                           " v=[float(x) for x in line.split()]; t=np.array(v[0::2]); x=np.array(v[1::2])\n"
                           " d=np.sign(np.subtract.outer(x,x)); s=int(round(np.sum(np.tril(d))))\n"
                           " sl=stats.theilslopes(x,t)\n"
                           " n=len(x); exact = n<=10 and len(set(x))==n\n"
                           " p=-1.0\n"
                           " if exact: p=stats.kendalltau(np.arange(n),x,method='exact').pvalue\n"
                           " print(s, repr(float(sl[0])), repr(float(sl[1])), repr(float(np.median(x))), repr(float(stats.median_abs_deviation(x))), repr(float(p)))\n";
  {
    std::ofstream file(input);
    file.precision(17);
    for (const auto& series : cases) {
      for (const TimedValue& one : series) file << one.at_s << ' ' << one.value << ' ';
      file << '\n';
    }
  }
  const int status = std::system(("/usr/bin/python3 " + script + " " + input + " > " + output + " 2>/dev/null").c_str());
  std::ifstream answers(output);
  std::string line;
  std::size_t compared = 0;
  for (const auto& series : cases) {
    if (status != 0 || !std::getline(answers, line) || line == "skipped") break;
    std::istringstream fields(line);
    long s = 0;
    double slope = 0, intercept = 0, middle = 0, mad = 0, p = 0;
    const bool whole = static_cast<bool>(fields >> s >> slope >> intercept >> middle >> mad >> p);
    REQUIRE(whole);
    const Trend trend = trend_of(series);
    std::vector<double> values;
    for (const TimedValue& one : series) values.push_back(one.value);
    CHECK(trend.s == s);
    CHECK(*trend.slope_per_s == doctest::Approx(slope).epsilon(1e-9));
    CHECK(trend.intercept == doctest::Approx(intercept).epsilon(1e-9));
    CHECK(median(values) == doctest::Approx(middle).epsilon(1e-12));
    CHECK(median_absolute_deviation(values) == doctest::Approx(mad).epsilon(1e-9));
    // scipy's exact p is two-sided: twice ours, at most 1.
    if (p >= 0) CHECK(std::min(1.0, 2 * trend.p_one_sided) == doctest::Approx(p).epsilon(1e-9));
    ++compared;
  }
  for (const std::string& file : {script, input, output}) std::filesystem::remove(file);
  if (compared == 0) MESSAGE("skipped: python3-scipy is not there");
  else CHECK(compared == cases.size());
}
