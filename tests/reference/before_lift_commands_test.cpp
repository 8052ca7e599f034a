// before-lift, clearance, pins, part set and part match as a person runs them: exit codes, what --json holds, and
// what is refused. Expected places are worked out by hand from the package's rules: pins count counter-clockwise
// from the upper left corner seen from the top (JEDEC), turned by 90 degrees; a
// QFP-48 of 7 x 7 mm body has 12 pins a side at 0.5 mm (JEDEC MS-026 BBC).
#include <doctest/doctest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "support/places.h"
#include "support/run_program.h"
#include "support/temporary_folder.h"

using namespace boardlore;
using nlohmann::json;

namespace {

struct Bench {
  TemporaryFolder tmp;
  std::string dir = tmp.path.string(), board = dir + "/board", job = dir + "/job";
  std::string index = "BOARDLORE_INDEX='" + dir + "/cache/shop.sqlite'";

  RunResult run(const std::string& arguments) const { return run_boardlore(arguments, index); }
  void must(const std::string& arguments) const {
    const RunResult result = run(arguments);
    INFO(arguments);
    INFO(result.output);
    REQUIRE(result.exit_code == 0);
  }
  json asked(const std::string& arguments, int exit_code = 0) const {
    const RunResult result = run(arguments + " --json");
    INFO(arguments);
    INFO(result.output);
    REQUIRE(result.exit_code == exit_code);
    const json answer = json::parse(result.output, nullptr, false);
    REQUIRE_FALSE(answer.is_discarded());
    return answer;
  }
  // Refused with exit 2 and one line that says what was expected.
  void refused(const std::string& arguments, const std::string& words) const {
    const RunResult result = run(arguments);
    INFO(arguments);
    INFO(result.output);
    CHECK(result.exit_code == 2);
    CHECK(result.output.find(words) != std::string::npos);
  }
};

struct BoardWithQuad : Bench {
  BoardWithQuad() {
    must("new board " + board + " --maker Tallow --model G1 --revision A --size 100x80");
    must("part set " + board + " U3 --package QFP --pins 48 --pitch 0.5 --body 7x7 --at 40,30 --rotation 90");
  }
};

json pin_of(const json& pins, const std::string& name) {
  for (const json& pin : pins)
    if (pin.at("pin") == name) return pin;
  FAIL("no pin " << name);
  return {};
}

void check_at(const json& xy, double x, double y, double tolerance = 0.005) {
  REQUIRE(xy.is_array());
  REQUIRE(xy.size() == 2);
  CHECK(std::fabs(xy[0].get<double>() - x) < tolerance);
  CHECK(std::fabs(xy[1].get<double>() - y) < tolerance);
}

json point_of(const json& report, const std::string& start) {
  for (const json& point : report.at("points"))
    if (point.at("point").get<std::string>().starts_with(start)) return point;
  FAIL("no point " << start);
  return {};
}

}  // namespace

TEST_CASE("part set and pins: a turned 48-pin quad, pin by pin, from both sides") {
  const BoardWithQuad bench;
  const json pins = bench.asked("pins " + bench.board + " U3");
  REQUIRE(pins.is_array());
  REQUIRE(pins.size() == 48);
  // Row to row s from the tool's own table; along the row by hand: (12 - 1) / 2 * 0.5 = 2.75 mm.
  const double s = 30 - pin_of(pins, "1").at("board_mm")[1].get<double>();
  CHECK(s > 3.5);  // outside the body of 7 mm
  CHECK(s < 4.6);  // and inside the 9 mm over the leads
  check_at(pin_of(pins, "1").at("board_mm"), 40 - 2.75, 30 - s);
  check_at(pin_of(pins, "12").at("board_mm"), 40 + 2.75, 30 - s);
  check_at(pin_of(pins, "13").at("board_mm"), 40 + s, 30 - 2.75);
  check_at(pin_of(pins, "25").at("board_mm"), 40 + 2.75, 30 + s);
  check_at(pin_of(pins, "37").at("board_mm"), 40 - s, 30 + 2.75);
  check_at(pin_of(pins, "48").at("board_mm"), 40 - s, 30 - 2.75);
  CHECK_FALSE(pin_of(pins, "1").contains("photo_px"));
  // From below the board x runs the other way for the eye; the place on the board stays.
  const json below = bench.asked("pins " + bench.board + " u3 --side bottom");
  check_at(pin_of(below, "37").at("board_mm"), 40 - s, 30 + 2.75);
  check_at(pin_of(below, "37").at("seen_mm"), s, 2.75);
  check_at(pin_of(pins, "37").at("seen_mm"), -s, 2.75);
}

TEST_CASE("part set: pin 1 by its corner turns the package; two clicked pads place it, and say a wrong pitch") {
  const BoardWithQuad bench;
  const json set = bench.asked("part set " + bench.board + " U4 --package QFP --pins 48 --pitch 0.5 --body 7x7 --at 70,30 --pin1 lower-right");
  CHECK(set.at("refdes") == "U4");
  CHECK(std::fabs(std::remainder(set.at("rotation_deg").get<double>() - 180, 360)) < 1e-9);
  const json placed = bench.asked("pins " + bench.board + " U3");
  const json one = pin_of(placed, "1").at("board_mm"), far = pin_of(placed, "25").at("board_mm");
  const auto pads = [&](double shrink) {
    const double x = 20 + shrink * (far[0].get<double>() - one[0].get<double>()), y = 50 + shrink * (far[1].get<double>() - one[1].get<double>());
    return "'1=20,50 25=" + std::to_string(x) + "," + std::to_string(y) + "'";
  };
  const json by_pads = bench.asked("part set " + bench.board + " U5 --package QFP --pins 48 --pitch 0.5 --body 7x7 --pads " + pads(1));
  check_at(by_pads.at("pin1_mm"), 20, 50, 0.02);
  CHECK(std::fabs(std::remainder(by_pads.at("rotation_deg").get<double>() - 90, 360)) < 0.5);
  CHECK_FALSE(by_pads.contains("notes"));
  const json wrong = bench.asked("part set " + bench.board + " U6 --package QFP --pins 48 --pitch 0.5 --body 7x7 --pads " + pads(0.8));
  REQUIRE(wrong.at("notes").size() >= 1);
  CHECK(wrong.at("notes")[0].get<std::string>().find("0.4") != std::string::npos);
}

TEST_CASE("clearance: by hand, sorted, the other side said, the nozzle's reach") {
  const BoardWithQuad bench;
  const auto mark = [&](const std::string& words) { bench.must("mark add " + bench.board + " " + words); };
  mark("--kind keepout --side top --at 20,30 --radius 1 --reason heat --max-temperature 85 --advice shield");
  mark("--kind part --side top --at 40,60 --refdes C1 --outline 39,59,41,59,41,61,39,61");
  mark("--kind part --side bottom --at 40,30 --refdes C2 --outline 39,29,41,29,41,31,39,31");
  bench.must("part set " + bench.board + " R1 --package own --at 60,30");
  const json pins = bench.asked("pins " + bench.board + " U3");
  const double s = 30 - pin_of(pins, "1").at("board_mm")[1].get<double>();
  const json report = bench.asked("clearance " + bench.board + " U3 --nozzle 8 --within 60");
  check_at(report.at("axis_mm"), 40, 30, 1e-9);
  CHECK(report.at("heated_radius_mm") == 4.0);
  const json& found = report.at("clearances");
  REQUIRE(found.size() == 4);
  for (std::size_t i = 1; i < found.size(); ++i) CHECK(found[i - 1].at("at_least_mm").get<double>() <= found[i].at("at_least_mm").get<double>());
  // Under it, on the other side: distance 0, heat goes through.
  CHECK(found[0].at("label") == "C2");
  CHECK(found[0].at("other_side") == true);
  CHECK(found[0].at("distance_mm") == 0.0);
  CHECK(found[0].at("heated") == true);
  for (const json& c : found) {
    CHECK(c.at("at_least_mm").get<double>() <= c.at("distance_mm").get<double>());
    CHECK(std::fabs(c.at("distance_mm").get<double>() - c.at("error_mm").get<double>() - c.at("at_least_mm").get<double>()) <
          (c.at("distance_mm").get<double>() > c.at("error_mm").get<double>() ? 1e-9 : 10));
    if (c.at("kind") == "keepout") {
      CHECK(std::fabs(c.at("distance_mm").get<double>() - (20 - s - 1)) < 0.02);  // centres 20 apart, less half the part, less the radius
      CHECK(c.at("heated") == false);
      CHECK(c.at("reason") == "heat");
      CHECK(c.at("advice") == "shield");
      CHECK(c.at("max_temperature_cel") == 85.0);
    }
    if (c.at("label") == "C1") CHECK(std::fabs(c.at("distance_mm").get<double>() - (30 - s - 1)) < 1e-6);
  }
  // Nothing within reach is no finding.
  CHECK(bench.asked("clearance " + bench.board + " C1 --within 1").at("clearances").empty());
  bench.refused("clearance " + bench.board + " U3 --nozzle -1", "nozzle");
  bench.refused("clearance " + bench.board + " U3 --nozzle wide", "nozzle");
  bench.refused("clearance " + bench.board + " U77", "U77");
  bench.refused("clearance " + bench.dir + "/nowhere U3", "nowhere");
}

TEST_CASE("bad input is refused with exit 2 and changes nothing") {
  const BoardWithQuad bench;
  bench.refused("part set " + bench.board + " U9 --package QFP --pins 48", "--at");
  bench.refused("part set " + bench.board + " U3 --package nonsense", "nonsense");
  bench.refused("part set " + bench.board + " U3 --package QFP --pins -4", "pin");
  bench.refused("part set " + bench.board + " U3 --package QFP --pins 48 --body 7", "--body");
  bench.refused("part set " + bench.board + " U3 --at 1", "--at");
  bench.refused("part set " + bench.board + " U3 --at 1,nan", "");
  bench.refused("part set " + bench.board + " U3 --pin1 north", "--pin1");
  bench.refused("part set " + bench.board + " U3 --pads '1=20,50'", "");
  bench.refused("part set " + bench.board + " U3 --pads '1=20,50 99=30,50'", "99");
  bench.refused("part set " + bench.board + " U3 --want 7:sweetness", "--want");
  bench.refused("pins " + bench.board + " U77", "U77");
  bench.refused("pins " + bench.board + " U3 --side left", "--side");
  bench.refused("pins " + bench.board + " U3 --photo none.jpg", "none.jpg");
  bench.refused("before-lift " + bench.board + " U3", "a job folder");
  bench.refused("part match " + bench.board + " U3 X", "a job folder");
  bench.refused("before-lift " + bench.dir + "/nowhere U3", "nowhere");
  // A part without a package has no pins: a finding, not bad usage.
  bench.must("mark add " + bench.board + " --kind part --side top --at 10,10 --refdes R1");
  CHECK(bench.run("pins " + bench.board + " R1").exit_code == 1);
  CHECK(bench.asked("pins " + bench.board + " U3").size() == 48);
}

TEST_CASE("part match: accepted 0, refused 1, not on the list 1, no lists 0 and said") {
  const BoardWithQuad bench;
  bench.must("new job " + bench.job + " --board " + bench.board + " --reported dead");
  const json none = bench.asked("part match " + bench.job + " U3 'KX 4402'");
  CHECK(none.at("verdict") == "not listed");
  bench.must("part set " + bench.board + " U3 --accept 'KX4402*' --refuse 'KX4402B*'");
  const json good = bench.asked("part match " + bench.job + " U3 'kx4402 a7'");
  CHECK(good.at("verdict") == "accepted");
  CHECK(good.at("entry") == "KX4402*");
  CHECK(good.at("refdes") == "U3");
  CHECK(bench.asked("part match " + bench.job + " U3 KX4402B", 1).at("verdict") == "refused");
  const json other = bench.asked("part match " + bench.job + " U3 'ZR 4402'", 1);
  CHECK(other.at("verdict") == "not listed");
  CHECK_FALSE(other.at("reason").get<std::string>().empty());
}

TEST_CASE("before-lift: refuses until every point is met or passed over with a reason, and never permits") {
  const Bench bench;
  const std::string demo = (places::source_dir() / "boards/brackenwick-gc12").string(), unit = demo + "/later-unit/";
  bench.must("new job " + bench.job + " --board " + demo + " --reported dead");
  const std::string check = "before-lift " + bench.job + " U3 --nozzle 8";
  const json first = bench.asked(check, 1);
  CHECK(first.at("refdes") == "U3");
  CHECK(point_of(first, "orientation-photo").at("state") == "open");
  CHECK(point_of(first, "orientation-photo").at("by_acknowledging") == false);
  CHECK_FALSE(point_of(first, "orientation-photo").at("to_do").get<std::string>().empty());
  for (const char* point : {"pin1", "orientation-photo", "neighbour:", "spare", "readings", "cautions"}) point_of(first, point);
  std::size_t open = 0;
  for (const json& point : first.at("points")) {
    const std::string state = point.at("state");
    CHECK_MESSAGE((state == "met" || state == "open" || state == "passed over"), state);
    open += state == "open";
    CHECK_FALSE(point.at("title").get<std::string>().empty());
  }
  CHECK(first.at("open") == open);
  CHECK_FALSE(first.at("cautions").empty());
  for (const json& caution : first.at("cautions")) CHECK_FALSE(caution.at("source").get<std::string>().empty());
  CHECK(first.at("closing").get<std::string>().find("Local codes") != std::string::npos);

  // A photo of this unit, registered: its scale and focus are held against thresholds that are said.
  bench.must("photo add " + bench.job + " " + unit + "later_top.jpg --side top");
  bench.must("register " + bench.job + " later_top.jpg --points " + unit + "fiducials_later_top.json");
  const json pictured = bench.asked(check, 1);
  CHECK(point_of(pictured, "orientation-photo").at("state") == "met");
  const std::string found = point_of(pictured, "orientation-photo").at("found");
  for (const char* words : {"px per mm (10 wanted)", "short side", "focus", "wanted)"}) CHECK_MESSAGE(found.find(words) != std::string::npos, found);

  // Seeing closes a neighbour; the spare wants the thing itself or a reason.
  bench.refused(check + " --acknowledge spare", "a reason");
  bench.refused(check + " --acknowledge nosuch", "nosuch");
  bench.refused(check + " --reason 'because'", "--acknowledge");
  bench.refused(check + " --nozzle -1", "");
  CHECK(point_of(bench.asked(check + " --acknowledge neighbours", 1), "neighbour:").at("state") == "met");
  bench.asked(check + " --acknowledge cautions", 1);
  CHECK(point_of(bench.asked(check, 1), "spare").at("state") == "open");

  SUBCASE("the right spare clears it") {
    bench.must("part match " + bench.job + " U3 'LQ24A 6M3'");
    const json done = bench.asked(check);
    CHECK(done.at("open") == 0);
    const RunResult words = bench.run(check);
    CHECK(words.exit_code == 0);
    CHECK(words.output.find("no point is open") != std::string::npos);
    for (const char* leave : {"allowed", "you may", "go ahead", "safe to", " OK", "cleared"}) CHECK_MESSAGE(words.output.find(leave) == std::string::npos, leave);
    // A larger nozzle meets more: open again.
    CHECK(bench.run("before-lift " + bench.job + " U3 --nozzle 30").exit_code == 1);
  }
  SUBCASE("a wrong spare keeps it open; going on over it leaves the reason") {
    CHECK(bench.run("part match " + bench.job + " U3 'ZZ 1'").exit_code == 1);
    CHECK(bench.run(check).exit_code == 1);
    const json passed = bench.asked(check + " --acknowledge spare --reason 'old part goes back in'");
    CHECK(passed.at("open") == 0);
    CHECK(point_of(passed, "spare").at("state") == "passed over");
    CHECK(point_of(bench.asked(check), "spare").at("reason") == "old part goes back in");
  }
}
