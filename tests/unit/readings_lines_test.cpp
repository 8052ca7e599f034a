// Every way a line is typed, as `boardlore log` takes it: the quantity, the digits as typed, the verdict; every
// verdict there is; the conditions a job sets once; and what a line that is not understood says.
#include <doctest/doctest.h>

#include <fstream>
#include <set>

#include "support/command_bench.h"

using namespace boardlore;
using nlohmann::json;

namespace {

struct Bench : CommandBench {
  std::string board = tmp.path.string() + "/board", job = tmp.path.string() + "/job";

  Bench() {
    exits(0, "new board " + board + " --maker Tallow --model G1 --revision A --size 100x80");
    int x = 10;
    for (const char* refdes : {"BT1", "C9", "C14", "R5", "L2", "U3", "J2", "TP4"})
      exits(0, "mark add " + board + " --kind " + (std::string(refdes) == "TP4" ? "probe" : "part") + " --side top --at " + std::to_string(x += 8) + ",20 --refdes " + refdes);
    exits(0, "limit set " + board + " U3.7 --quantity diode --low 0.40 --high 0.60 --source 'service sheet'");
    exits(0, "limit template " + board + " BT1 coin-cell");
    exits(0, "new job " + job + " --board " + board + " --reported dead");
  }
};

std::string quoted(const std::vector<std::string>& lines) {
  std::string words;
  for (const std::string& line : lines) words += " " + shell_quoted(line);
  return words;
}

struct Spelling {
  const char* line;
  const char* quantity;              // nullptr: not readings
  std::vector<const char*> printed;  // value by value: the digits as typed, the unit spelt out
  std::vector<double> values;
  const char* verdict;               // as the first line of the job
};

const std::vector<Spelling> spellings{
    {"C14 10.5k", "resistance", {"10.5 kΩ"}, {10500}, "nothing-to-compare"},
    {"C14 10k5", "resistance", {"10.5 kΩ"}, {10500}, "nothing-to-compare"},
    {"C14 10,5 kΩ", "resistance", {"10.5 kΩ"}, {10500}, "nothing-to-compare"},
    {"C14 10.2k 10.9k 11.4k 12.0k", "resistance", {"10.2 kΩ", "10.9 kΩ", "11.4 kΩ", "12.0 kΩ"}, {10200, 10900, 11400, 12000}, "charging"},
    {"C14 10.5k rising", "resistance", {"10.5 kΩ"}, {10500}, "charging"},
    {"C14 OL", "resistance", {"OL"}, {0}, "open"},
    {"U3.7 0.452 V diode", "diode", {"0.452 V"}, {0.452}, "within-limits"},
    {"U3.7 452mV diode", "diode", {"452 mV"}, {0.452}, "within-limits"},
    {"U3.A12 0.45V diode", "diode", {"0.45 V"}, {0.45}, "nothing-to-compare"},
    {"BT1 3.2V", "voltage", {"3.2 V"}, {3.2}, "within-limits"},
    {"L2 0.3", "resistance", {"0.3 Ω"}, {0.3}, "nothing-to-compare"},
    {"C9 98n", "capacitance", {"98 nF"}, {98e-9}, "nothing-to-compare"},
    {"R5 4k7", "resistance", {"4.7 kΩ"}, {4700}, "nothing-to-compare"},
    {"TP4 12.03V on", "voltage", {"12.03 V"}, {12.03}, "nothing-to-compare"},
    {"J2.1 > 20M", "resistance", {"> 20 MΩ"}, {20e6}, "open"},
    {"U3 note lifted pad 7", nullptr, {}, {}, nullptr},
    {"U3 replaced", nullptr, {}, {}, nullptr}};

}  // namespace

TEST_CASE("log: every spelling gives its quantity, its digits as typed and its verdict") {
  const Bench bench;
  std::vector<std::string> lines;
  for (const Spelling& one : spellings) lines.emplace_back(one.line);
  // A dry run judges each by itself; then they are entered and read back.
  const json judged = bench.asked("log " + bench.job + " --dry-run" + quoted(lines));
  REQUIRE(judged.size() == spellings.size());
  for (std::size_t i = 0; i < spellings.size(); ++i) {
    INFO(spellings[i].line << ": " << judged[i].dump());
    CHECK(judged[i]["line"] == spellings[i].line);
    CHECK(judged[i].contains("verdict") == (spellings[i].verdict != nullptr));
    if (spellings[i].verdict) CHECK(judged[i]["verdict"] == spellings[i].verdict);
    if (spellings[i].verdict) CHECK_FALSE(judged[i]["reason"].get<std::string>().empty());
  }
  bench.exits(0, "log " + bench.job + quoted(lines));
  const json kept = bench.asked("readings " + bench.job);
  std::size_t row = 0;
  for (const Spelling& one : spellings)
    for (std::size_t i = 0; i < one.printed.size(); ++i, ++row) {
      REQUIRE(row < kept.size());
      const json& reading = kept[row];
      INFO(one.line << ": " << reading.dump());
      CHECK(reading["quantity"] == one.quantity);
      CHECK(reading["printed"] == one.printed[i]);
      if (std::string(one.printed[i]) == "OL") CHECK(reading["value"].is_null());
      else CHECK(reading["value"].get<double>() == doctest::Approx(one.values[i]).epsilon(1e-12));
      CHECK(std::string(one.line).find(reading["typed"].get<std::string>()) != std::string::npos);
      CHECK(reading["power"] == (std::string(one.line).ends_with(" on") ? "on" : "off"));
    }
  CHECK(row == kept.size());
  const json marks = bench.asked("marks " + bench.job);
  CHECK(marks.dump().find("lifted pad 7") != std::string::npos);
  const json actions = bench.asked("action list " + bench.job);
  REQUIRE(actions.size() == 1);
  CHECK(actions[0]["what"] == "replaced");
}

TEST_CASE("log and judge: every verdict there is, with a reason and the numbers it rests on") {
  const Bench bench;
  struct Row {
    const char* line;
    const char* verdict;
    const char* reason_has;
    const char* basis;  // a number it rests on; nullptr: the value itself
  };
  const std::vector<Row> rows{{"BT1 3.2V", "within-limits", "common practice, no source", "limit_low"},
                              {"U3.7 0.39V diode", "low", "service sheet", "limit_low"},
                              {"BT1 3.9V", "high", "3.5", "limit_high"},
                              {"C14 0.2 ohm", "short", "dead short", "short_below"},
                              {"U3.7 1mV diode", "short", "about 0 V in diode mode", "limit_low"},
                              {"R5 OL", "open", "open", "open_above"},
                              {"U3.8 100ohm 120ohm 140ohm 160ohm", "drifting-up", "Mann-Kendall S 6", "mann_kendall_s"},
                              {"U3.8 160ohm 140ohm 120ohm 100ohm", "drifting-down", "Mann-Kendall S -6", "mann_kendall_s"},
                              {"C14 10.2k 10.9k 11.4k 12.0k every 5s", "charging", "charging, not short", "rough_capacitance_f"},
                              {"U3.9 100.0ohm 100.2ohm 100.1ohm 100.1ohm", "steady", "no trend", nullptr},
                              {"U3.9 100ohm steady", "steady", "said to be steady", nullptr},
                              {"R5 4k7", "nothing-to-compare", "no known good unit", nullptr}};
  std::vector<std::string> lines;
  for (const Row& row : rows) lines.emplace_back(row.line);
  const json judged = bench.asked("log " + bench.job + " --dry-run" + quoted(lines));
  REQUIRE(judged.size() == rows.size());
  std::set<std::string> met;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    INFO(rows[i].line << ": " << judged[i].dump());
    CHECK(judged[i]["verdict"] == rows[i].verdict);
    CHECK(judged[i]["reason"].get<std::string>().find(rows[i].reason_has) != std::string::npos);
    if (rows[i].basis) CHECK(judged[i]["basis"].contains(rows[i].basis));
    met.insert(rows[i].verdict);
  }
  CHECK(met.size() == 10);
  // By hand: 10.2k to 12.0k in 15 s is some 120 ohm a second (Theil-Sen: the median of the six slopes, 110 to 140).
  CHECK(judged[8]["basis"]["rough_capacitance_f"].get<double>() == doctest::Approx(1 / 120.0).epsilon(0.1));
  CHECK(judged[8]["remarks"].dump().find("constant test current") != std::string::npos);
}

TEST_CASE("learn and judge: five known good units make a statistic, fewer only a seen range; before and after") {
  const Bench bench;
  const double seen[] = {0.452, 0.455, 0.449, 0.451, 0.453};
  for (int i = 0; i < 5; ++i) {
    const std::string good = bench.tmp.path.string() + "/good" + std::to_string(i);
    bench.exits(0, "new job " + good + " --board " + bench.board + " --reported check");
    bench.exits(0, "log " + good + " 'U3.9 " + std::to_string(seen[i]) + "V diode'");
    bench.exits(0, "hand-back " + good + " --outcome no-fault --reason test");
    bench.exits(0, "learn " + good);
    if (i == 3) {
      const json few = bench.asked("log " + bench.job + " --dry-run 'U3.9 0.9V diode'");
      CHECK(few[0]["verdict"] == "nothing-to-compare");
      CHECK(few[0]["remarks"].dump().find("4 known good units, 0 days old: 449 mV to 455 mV") != std::string::npos);
      CHECK_FALSE(few[0]["basis"].contains("modified_z"));
    }
  }
  const json judged = bench.asked("log " + bench.job + " --dry-run 'U3.9 0.9V diode' 'U3.9 0.1V diode' 'U3.9 0.452V diode'");
  for (const auto& [i, verdict] : {std::pair(0, "high"), std::pair(1, "low"), std::pair(2, "within-limits")}) {
    INFO(judged[static_cast<std::size_t>(i)].dump());
    CHECK(judged[static_cast<std::size_t>(i)]["verdict"] == verdict);
    CHECK(judged[static_cast<std::size_t>(i)]["reason"].get<std::string>().find("5 known good units, 0 days old") != std::string::npos);
  }
  // Iglewicz and Hoaglin: 0.6745 (x - median) / MAD, by hand: median 0.452, MAD 0.001.
  CHECK(judged[0]["basis"]["modified_z"].get<double>() == doctest::Approx(0.6745 * (0.9 - 0.452) / 0.001).epsilon(1e-4));

  bench.exits(0, "log " + bench.job + " 'C14 0.2 ohm'");
  bench.exits(1, "judge " + bench.job);
  bench.exits(0, "log " + bench.job + " 'C14 replaced'");
  bench.exits(0, "log " + bench.job + " 'C14 12k'");
  const json points = bench.asked("judge " + bench.job);
  bool compared = false;
  for (const json& point : points)
    if (point["refdes"] == "C14") compared = point["before_after"].get<std::string>().find("before the rework 0.2 Ω, after it 12 kΩ") != std::string::npos;
  CHECK(compared);
}

TEST_CASE("log: conditions set once hold until a line says otherwise, and are taken away again") {
  const Bench bench;
  bench.exits(0, "log " + bench.job + " --as-default --power on --red TP1 --black J2.1 --instrument 'Bench meter 1' --ambient '22 °C'");
  const json held = bench.asked("log " + bench.job);
  CHECK(held == json{{"power", "on"}, {"red_lead", "TP1"}, {"black_lead", "J2.1"}, {"instrument", "Bench meter 1"}, {"ambient", "22 °C"}});
  const json answers = bench.asked("log " + bench.job + " 'TP4 12V' 'TP4 12V off red TP9 black GND with m-2 ambient 30°C' 'R5 4k7' 'U3.7 0.45V diode' 'R5 4k7 off' 'TP4 5V cold'");
  CHECK(answers[0]["understood"] == "TP4: voltage 12 V, power on, red on TP1, black on J2.1, with Bench meter 1, 22 °C");
  // Resistance and diode with power on get a caution; a voltage does not.
  CHECK_FALSE(answers[0].contains("cautions"));
  for (const std::size_t probed : {std::size_t{2}, std::size_t{3}}) CHECK(answers[probed]["cautions"].dump().find("power on") != std::string::npos);
  CHECK_FALSE(answers[4].contains("cautions"));
  const json rows = bench.asked("readings " + bench.job);
  CHECK(rows[0]["power"] == "on");
  CHECK(rows[0]["instrument"] == "Bench meter 1");
  CHECK(rows[1]["power"] == "off");
  CHECK(rows[1]["red_lead"] == "TP9");
  CHECK(rows[1]["black_lead"] == "GND");
  CHECK(rows[1]["instrument"] == "m-2");
  CHECK(rows[1]["ambient"] == "30°C");
  CHECK(rows[2]["cautions"].dump().find("power on") != std::string::npos);
  CHECK(rows[5]["ambient"] == "cold");
  // For one call only: the job's own stay.
  bench.exits(0, "log " + bench.job + " 'TP4 12V' --instrument other");
  CHECK(bench.asked("readings " + bench.job).back()["instrument"] == "other");
  bench.exits(0, "log " + bench.job + " --as-default --power off --red '' --ambient ''");
  const json left = bench.asked("log " + bench.job);
  CHECK(left["power"] == "off");
  CHECK(left["red_lead"] == "");
  CHECK(left["instrument"] == "Bench meter 1");
}

TEST_CASE("log: a line not understood says at which character and what would do, several meanings are asked") {
  const Bench bench;
  struct Row {
    const char* line;
    int column;
    const char* accepted;
  };
  const std::vector<Row> rows{{"C14", 4, "a value"},           {"C14 10.5q", 9, "prefix"},     {"C15 10k", 1, "C14"},         {"hello", 1, "letters and a number"},
                              {"U3. 4k", 4, "a pin"},           {"U3 note", 8, "words"},         {"C14 >", 6, "> 20M"},         {"C14 10k 3V", 9, "one quantity"},
                              {"TP4 5V red", 11, "lead"},       {"TP4 5V every x", 14, "5s"},    {"R5@left 4k7", 4, "top or"}};
  std::vector<std::string> lines;
  for (const Row& row : rows) lines.emplace_back(row.line);
  const json answers = bench.asked("log " + bench.job + quoted(lines), 2);
  REQUIRE(answers.size() == rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    INFO(answers[i].dump());
    CHECK(answers[i]["entered"] == false);
    CHECK(answers[i]["line"] == rows[i].line);  // what was typed is given back
    CHECK(answers[i]["column"] == rows[i].column);
    CHECK(answers[i]["accepted"].get<std::string>().find(rows[i].accepted) != std::string::npos);
  }
  // What has two meanings is asked, and each choice is a line that has one.
  const json asked = bench.asked("log " + bench.job + " 'C14 10' 'U3.7 0.452' 'C14 1,234k'", 2);
  for (const json& one : asked) {
    INFO(one.dump());
    REQUIRE(one["choices"].size() >= 2);
    std::vector<std::string> choices;
    for (const json& choice : one["choices"]) choices.push_back(choice["line"]);
    bench.exits(0, "log " + bench.job + " --dry-run" + quoted(choices));
  }
  CHECK(bench.asked("readings " + bench.job).empty());
  // Piped lines: the good ones are kept, the others are named.
  std::ofstream(bench.tmp.path / "lines") << "R5 4k7\nC14 10.5q\nBT1 3.2V\n";
  const json piped = bench.asked("log " + bench.job + " - <" + (bench.tmp.path / "lines").string(), 2);
  REQUIRE(piped.size() == 3);
  CHECK(piped[1]["column"] == 9);
  CHECK(bench.asked("readings " + bench.job).size() == 2);
}
