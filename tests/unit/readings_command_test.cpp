// log, readings, judge, limit, learn, decode and discharge as a person runs them: answers, exit codes, bad input.
#include <doctest/doctest.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "support/command_bench.h"

using namespace boardlore;
using nlohmann::json;

namespace {

struct Bench : CommandBench {
  std::string board = tmp.path.string() + "/board", job = tmp.path.string() + "/job";

  // `judge` of one designator; points that have a limit and no reading are there too.
  json judged(const std::string& refdes, int code = 0) const {
    for (const json& one : asked("judge " + job, code))
      if (one["refdes"] == refdes) return one;
    FAIL("no such point: " << refdes);
    return nullptr;
  }

  Bench() {
    exits(0, "new board " + board + " --maker Tallow --model G1 --revision A --size 100x80");
    int x = 10;
    for (const char* refdes : {"BT1", "C3", "C14", "R1", "U3"})
      exits(0, "mark add " + board + " --kind part --side top --at " + std::to_string(x += 10) + ",20 --refdes " + refdes);
    exits(0, "limit set " + board + " U3.7 --quantity diode --low 0.40 --high 0.60 --source 'known good unit'");
    exits(0, "limit template " + board + " BT1 coin-cell");
    exits(0, "new job " + job + " --board " + board + " --reported dead");
  }
};

}  // namespace

TEST_CASE("log: a line is understood, judged and kept with the digits as typed") {
  const Bench bench;
  const json answer = bench.asked("log " + bench.job + " 'U3.7 452mV diode' 'C14 10k50' 'C14 note lifted pad'");
  REQUIRE(answer.size() == 3);
  CHECK(answer[0]["entered"] == true);
  CHECK(answer[0]["verdict"] == "within-limits");
  CHECK(answer[0]["basis"]["limit_low"] == 0.4);
  CHECK(answer[1]["verdict"] == "nothing-to-compare");
  CHECK_FALSE(answer[2].contains("verdict"));
  const json rows = bench.asked("readings " + bench.job);
  REQUIRE(rows.size() == 2);
  CHECK(rows[0]["value"].get<double>() == doctest::Approx(0.452));
  CHECK(rows[0]["pin"] == "7");
  CHECK(rows[1]["typed"] == "10k50");
  CHECK(rows[1]["printed"].get<std::string>().find("10.50") != std::string::npos);
}

TEST_CASE("log: a line not understood is shown with its character, exits 2, and the others are kept") {
  const Bench bench;
  const RunResult result = bench.run("log " + bench.job + " 'R1 ==1' 'R1 18k'");
  CHECK(result.exit_code == 2);
  CHECK(result.output.find("at character 4") != std::string::npos);
  CHECK(result.output.find("R1 ==1") != std::string::npos);  // what was typed is shown again
  CHECK(bench.asked("readings " + bench.job).size() == 1);
  const json stopped = bench.asked("log " + bench.job + " 'R1 ==1'", 2);
  CHECK(stopped[0]["entered"] == false);
  CHECK(stopped[0]["column"] == 4);
  bench.refuses("log " + bench.board + " 'R1 18k'", "a job folder");
  bench.refuses("log " + bench.job + "-nowhere 'R1 18k'", "no such folder");
  bench.refuses("log " + bench.job + " 'R1 18k' --power sideways", "--power");
}

TEST_CASE("log: lines are piped; a dry run enters nothing; a resistance with power on gets a caution") {
  const Bench bench;
  std::ofstream(bench.tmp.path / "lines") << "C14 10k\r\n# a remark\n\nR1 18k\nBT1 3.2V\n";
  bench.exits(0, "log " + bench.job + " - <" + (bench.tmp.path / "lines").string());
  CHECK(bench.asked("readings " + bench.job).size() == 3);
  bench.asked("log " + bench.job + " 'R1 18k' --dry-run");
  CHECK(bench.asked("readings " + bench.job).size() == 3);
  CHECK_FALSE(bench.asked("log " + bench.job + " 'R1 18k on'")[0]["cautions"].empty());
}

TEST_CASE("readings: sorted, filtered, as CSV that no spreadsheet runs") {
  const Bench bench;
  bench.exits(0, "log " + bench.job + " 'R1 18k' 'C14 0.2 ohm' 'BT1 3.2V' --instrument '=HYPERLINK(1)'");
  const json by_name = bench.asked("readings " + bench.job + " --sort refdes");
  REQUIRE(by_name.size() == 3);
  CHECK(by_name[0]["refdes"] == "BT1");
  CHECK(by_name[2]["refdes"] == "R1");
  CHECK(bench.asked("readings " + bench.job + " --sort refdes --descending")[0]["refdes"] == "R1");
  const json out = bench.asked("readings " + bench.job + " --out-of-limits");
  REQUIRE(out.size() == 1);
  CHECK(out[0]["verdict"] == "short");
  CHECK(out[0]["out_of_limits"] == true);
  CHECK(bench.asked("readings " + bench.job + " --quantity voltage").size() == 1);
  CHECK(bench.asked("readings " + bench.job + " --find r1").size() == 1);
  const std::string csv = bench.run("readings " + bench.job + " --csv").output;
  CHECK(csv.starts_with("refdes,pin,quantity,"));
  CHECK(csv.find("\r\n") != std::string::npos);      // RFC 4180, section 2.1
  CHECK(csv.find(",=HYPER") == std::string::npos);    // not at the start of a cell
  CHECK(csv.find("HYPERLINK(1)") != std::string::npos);  // and not lost
  bench.refuses("readings " + bench.job + " --csv --json", "--csv");
  bench.refuses("readings " + bench.job + " --quantity wood", "resistance, capacitance");
  bench.refuses("readings " + bench.job + " --sort wood", "--sort");
  bench.refuses("readings " + bench.board, "a job folder");
}

TEST_CASE("judge: exit 1 while a point is out of limits, and by its last reading") {
  const Bench bench;
  bench.exits(0, "judge " + bench.job);
  bench.exits(0, "log " + bench.job + " 'BT1 0.1V'");
  const json low = bench.judged("BT1", 1);
  CHECK(low["verdict"] == "low");
  CHECK(low["out_of_limits"] == true);
  CHECK_FALSE(low["reason"].get<std::string>().empty());
  bench.exits(0, "log " + bench.job + " 'BT1 3.2V'");
  bench.exits(0, "judge " + bench.job);
  // ../shared/reference-facts.md, common practice: tens of kilohms and rising across a rail is no short.
  bench.exits(0, "log " + bench.job + " 'C3 10.2k 10.9k 11.4k 12.0k'");
  CHECK(bench.judged("C3")["out_of_limits"] == false);
  bench.refuses("judge " + bench.board, "a job folder");
  bench.refuses("judge " + bench.job + "-nowhere", "no such folder");
}

TEST_CASE("limit: set, replaced and taken away; thresholds; bad input changes nothing") {
  const Bench bench;
  bench.exits(0, "log " + bench.job + " 'R1 18k'");
  bench.exits(0, "limit set " + bench.job + " R1 --quantity resistance --low 20k --source 'schematic, sheet 2'");
  const json low = bench.judged("R1", 1);
  CHECK(low["verdict"] == "low");
  CHECK(low["reason"].get<std::string>().find("schematic, sheet 2") != std::string::npos);
  bench.exits(0, "limit set " + bench.job + " R1 --quantity resistance --low 17k --high 19k");
  bench.exits(0, "judge " + bench.job);
  bench.exits(0, "limit set " + bench.job + " R1 --quantity resistance --remove");
  CHECK(bench.judged("R1")["verdict"] == "nothing-to-compare");
  bench.refuses("limit set " + bench.job + " R1 --quantity resistance --low 19k --high 17k", "--high");
  bench.refuses("limit set " + bench.job + " R1 --quantity wood --low 1", "--quantity");
  bench.refuses("limit set " + bench.job + " R1 --quantity resistance --low wood", "--low");
  bench.refuses("limit set " + bench.job + " R1 --quantity resistance", "neither");
  bench.refuses("limit set " + bench.job + " R99 --quantity resistance --low 1", "R99");
  bench.refuses("limit template " + bench.job + " BT1 wood", "coin-cell");
  CHECK(bench.judged("R1")["verdict"] == "nothing-to-compare");
  const json templates = bench.asked("limit templates");
  CHECK(templates.size() == 6);
  for (const json& one : templates) CHECK_FALSE(one["source"].get<std::string>().empty());
  CHECK(bench.asked("limit thresholds " + bench.board)["short_below_ohm"] == 1.0);
  CHECK(bench.asked("limit thresholds " + bench.board + " --short-below 2")["short_below_ohm"] == 2.0);
  bench.refuses("limit thresholds " + bench.board + " --short-below 1000M", "--short-below");
  bench.refuses("limit thresholds " + bench.board + " --short-below wood", "--short-below");
}

TEST_CASE("learn: only after a good hand-back, once, and only what was in order") {
  const Bench bench;
  bench.exits(0, "log " + bench.job + " 'R1 18k' 'C14 0.2 ohm'");
  bench.refuses("learn " + bench.job, "still open");
  bench.exits(0, "hand-back " + bench.job + " --outcome fixed --reason test");
  const json would = bench.asked("learn " + bench.job + " --dry-run");
  CHECK(would["written"] == false);
  CHECK(would["learnt"].size() == 1);
  const json learnt = bench.asked("learn " + bench.job);
  CHECK(learnt["written"] == true);
  REQUIRE(learnt["learnt"].size() == 1);
  CHECK(learnt["learnt"][0]["point"] == "R1");
  CHECK(learnt["left_out"].size() == 1);  // the short
  bench.refuses("learn " + bench.job, "learnt from before");
  bench.refuses("learn " + bench.board, "a job folder");
  // The next job is told of it, with how many units it rests on.
  const std::string next = bench.tmp.path.string() + "/next";
  bench.exits(0, "new job " + next + " --board " + bench.board + " --reported hums");
  const json judged = bench.asked("log " + next + " 'R1 18.1k'");
  CHECK(judged[0]["reason"].get<std::string>().find("known good") != std::string::npos);
}

TEST_CASE("learn: nothing from a job handed back as not fixed") {
  const Bench bench;
  bench.exits(0, "log " + bench.job + " 'R1 18k'");
  bench.exits(0, "hand-back " + bench.job + " --outcome not-fixed --reason test");
  bench.refuses("learn " + bench.job, "not fixed");
}

TEST_CASE("decode: every reading of a code with its standard; 1 where none is known, 2 for nothing asked") {
  const Bench bench;
  const json codes = bench.asked("decode 01C 104");
  REQUIRE(codes.size() == 2);
  CHECK(codes[0]["readings"][0]["value"] == 10000.0);
  CHECK(codes[0]["readings"][0]["standard"].get<std::string>().find("EIA-96") != std::string::npos);
  CHECK(codes[1]["readings"].size() == 2);  // 100 kOhm or 100 nF: not guessed
  bench.exits(1, "decode '?-?'");
  bench.refuses("decode", "CODE");
  bench.refuses("decode --value wood", "--value");
  // IEC 60063: 4.99 is of E96; its E24 neighbour is 5.1, +2.2 %.
  const json near = bench.asked("decode --value 4.99k");
  CHECK(near[0]["preferred"]["E96"]["deviation"].get<double>() == doctest::Approx(0));
  CHECK(near[0]["preferred"]["E24"]["value"].get<double>() == doctest::Approx(5100));
}

TEST_CASE("discharge: energy and time by hand; 1 where the rating is too small; never called safe to touch") {
  const Bench bench;
  const json plan = bench.asked("discharge 470u 325V --through 10k");
  // By hand: C V^2 / 2, R C, R C ln(325 / 60), V^2 / R.
  CHECK(plan["energy_j"].get<double>() == doctest::Approx(0.5 * 470e-6 * 325 * 325));
  CHECK(plan["time_constant_s"].get<double>() == doctest::Approx(4.7));
  CHECK(plan["time_s"].get<double>() == doctest::Approx(4.7 * std::log(325.0 / 60)));
  CHECK(plan["peak_power_w"].get<double>() == doctest::Approx(325.0 * 325 / 10e3));
  CHECK(plan["rating_suffices"].is_null());
  CHECK(plan["safe_source"].get<std::string>().find("62368") != std::string::npos);
  CHECK(plan["cautions"].dump().find("Measure") != std::string::npos);
  const RunResult words = bench.run("discharge 470u 325V --through 10k");
  for (const char* never : {"safe to touch", "is safe", "may touch"}) CHECK(words.output.find(never) == std::string::npos);
  CHECK(bench.asked("discharge 470u 325V --through 10k --rating 1W", 1)["rating_suffices"] == false);
  CHECK(bench.asked("discharge 470u 325V --through 10k --rating 20W")["rating_suffices"] == true);
  bench.refuses("discharge 470u wood --through 10k", "voltage");
  bench.refuses("discharge 470 325V --through 10k", "less than 1 F");
  bench.refuses("discharge 470u 325V", "--through");
  bench.refuses("discharge 470u 325V --through 0", "resistance");
  bench.refuses("discharge 470u 325V --through 10k --safe wood", "--safe");
  bench.refuses("discharge 470u 325V --through 10k --rating wood", "--rating");
}
