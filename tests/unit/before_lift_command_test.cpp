// before-lift, clearance, pins, part set and part match as a person runs them: answers, exit codes, bad input.
// Expected places are worked out by hand from the package's rules: pins count counter-clockwise from the upper left
// corner seen from the top (JEDEC; IPC-7351 zero orientation A); a QFP-48 of 7 x 7 mm body has 12 pins a side at 0.5 mm
// (JEDEC MS-026 BBC).
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "support/command_bench.h"

using namespace boardlore;
using nlohmann::json;

namespace {

// The demo board and a later unit of it on the bench, its photo registered by the points beside it.
struct Bench : CommandBench {
  std::string board = tmp.path.string() + "/boards/gc12", job = tmp.path.string() + "/job", unit;

  static json point(const json& report, const std::string& name) {
    for (const json& one : report["points"])
      if (one["point"] == name) return one;
    return nullptr;
  }

  Bench() {
    std::filesystem::create_directories(tmp.path / "boards");
    std::filesystem::copy(places::source_dir() / "boards/brackenwick-gc12", board, std::filesystem::copy_options::recursive);
    unit = board + "/later-unit/";
    exits(0, "new job " + job + " --board " + board + " --reported dead " + unit + "later_top.jpg");
  }
  void register_photo() const { exits(0, "register " + job + " later_top.jpg --points " + unit + "fiducials_later_top.json"); }
};

// A board with nothing on it but a 48-pin quad turned by 90 degrees.
struct BoardWithQuad : CommandBench {
  std::string board = tmp.path.string() + "/board", job = tmp.path.string() + "/job";
  BoardWithQuad() {
    exits(0, "new board " + board + " --maker Tallow --model G1 --revision A --size 100x80");
    exits(0, "part set " + board + " U3 --package QFP --pins 48 --pitch 0.5 --body 7x7 --at 40,30 --rotation 90");
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

// From the middle of the package to a row of its pins, as the tool's own table has it.
double row_distance(const json& pins) {
  const double s = 30 - pin_of(pins, "1").at("board_mm")[1].get<double>();
  CHECK(s > 3.5);  // outside the body of 7 mm
  CHECK(s < 4.6);  // and inside the 9 mm over the leads
  return s;
}

double distance(const json& a, const json& b) {
  return std::hypot(a[0].get<double>() - b[0].get<double>(), a[1].get<double>() - b[1].get<double>());
}

}  // namespace

TEST_CASE("before-lift: refuses, point by point, until each is met; no word of permission") {
  const Bench bench;
  const std::string check = "before-lift " + bench.job + " U5 --nozzle 8";
  const json first = bench.asked(check, 1);
  CHECK(Bench::point(first, "orientation-photo")["state"] == "open");
  CHECK(Bench::point(first, "orientation-photo")["by_acknowledging"] == false);
  for (const char* point : {"pin1", "orientation-photo", "spare", "readings", "cautions"}) CHECK_FALSE(Bench::point(first, point).is_null());
  bench.register_photo();
  const json report = bench.asked(check, 1);
  CHECK(report["refdes"] == "U5");
  CHECK(report["closing"].get<std::string>().find("permission") != std::string::npos);
  CHECK(report["closing"].get<std::string>().find("Local codes") != std::string::npos);
  const json photo = Bench::point(report, "orientation-photo");
  CHECK(photo["state"] == "met");
  for (const char* stated : {"px per mm (10 wanted)", "short side", "focus", "wanted)"}) CHECK(photo["found"].get<std::string>().find(stated) != std::string::npos);
  CHECK(Bench::point(report, "pin1")["state"] == "met");
  CHECK(Bench::point(report, "spare")["state"] == "open");
  CHECK(report["clearance"]["heated_radius_mm"] == 4.0);
  CHECK_FALSE(report["cautions"].empty());
  for (const json& caution : report["cautions"]) CHECK_FALSE(caution["source"].get<std::string>().empty());
  std::size_t neighbours = 0, open = 0;
  for (const json& one : report["points"]) {
    const std::string state = one["state"];
    CHECK_MESSAGE((state == "met" || state == "open" || state == "passed over"), state);
    CHECK_FALSE(one["title"].get<std::string>().empty());
    CHECK(one.contains("found"));
    if (one["point"].get<std::string>().starts_with("neighbour:")) ++neighbours;
    if (one["state"] == "open") {
      ++open;
      CHECK(one.contains("to_do"));
      CHECK(one.contains("by_acknowledging"));
    }
  }
  CHECK(neighbours > 0);
  CHECK(report["open"] == open);

  bench.refuses(check + " --acknowledge spare", "a reason");
  bench.exits(1, check + " --acknowledge neighbours");
  bench.exits(1, check + " --acknowledge cautions");
  bench.exits(1, "part match " + bench.job + " U5 'HV485 T'");  // refused, and the check stays open
  CHECK(Bench::point(bench.asked(check, 1), "spare")["state"] == "open");
  bench.exits(0, "part match " + bench.job + " U5 'HV485 E3'");
  const json clear = bench.asked(check);
  CHECK(clear["open"] == 0);
  const std::string words = bench.run(check).output;
  CHECK(words.find("no point is open") != std::string::npos);
  // A larger nozzle meets more: open again.
  bench.exits(1, "before-lift " + bench.job + " U5 --nozzle 30");
  for (const char* never : {"you may", "safe to", "go ahead", "permitted", "allowed", " OK", "cleared"}) CHECK(words.find(never) == std::string::npos);
}

TEST_CASE("before-lift: going on over an open point needs a reason, which stays with who gave it") {
  const Bench bench;
  const std::string check = "before-lift " + bench.job + " U5 --nozzle 8";
  bench.refuses(check + " --acknowledge orientation-photo", "a reason");
  CHECK(Bench::point(bench.asked(check, 1), "orientation-photo")["state"] == "open");
  bench.exits(1, check + " --acknowledge orientation-photo --reason 'camera broken, drawn by hand'");
  const json passed = Bench::point(bench.asked(check, 1), "orientation-photo");
  CHECK(passed["state"] == "passed over");
  CHECK(passed["reason"] == "camera broken, drawn by hand");
  CHECK(passed["by"] == "Tester");
  // A wrong spare keeps its point open; going on over it leaves the reason.
  bench.exits(1, "part match " + bench.job + " U5 'ZZ 1'");
  CHECK(Bench::point(bench.asked(check, 1), "spare")["state"] == "open");
  bench.exits(1, check + " --acknowledge spare --reason 'old part goes back in'");
  CHECK(Bench::point(bench.asked(check, 1), "spare")["state"] == "passed over");
  CHECK(Bench::point(bench.asked(check, 1), "spare")["reason"] == "old part goes back in");
}

TEST_CASE("before-lift: a reading wanted before the work; bad input") {
  const Bench bench;
  bench.exits(0, "part set " + bench.job + " U5 --want 7:resistance");
  const std::string check = "before-lift " + bench.job + " U5";
  CHECK(Bench::point(bench.asked(check, 1), "readings")["state"] == "open");
  bench.exits(0, "log " + bench.job + " 'U5.7 12k'");
  CHECK(Bench::point(bench.asked(check, 1), "readings")["state"] == "met");
  bench.refuses(check + " --acknowledge wood --reason x", "wood");
  bench.refuses(check + " --reason x", "--acknowledge");
  bench.refuses(check + " --nozzle wood", "--nozzle");
  bench.refuses(check + " --nozzle -3", "--nozzle");
  bench.refuses("before-lift " + bench.job + " U99", "U99");
  bench.refuses("before-lift " + bench.job + " TP1", "a part");
  bench.refuses("before-lift " + bench.board + " U5", "a job folder");
  bench.refuses("before-lift " + bench.tmp.path.string() + "/nowhere U5", "nowhere");
}

TEST_CASE("clearance: nearest first, with an error, and what the heated circle meets") {
  const Bench bench;
  const json report = bench.asked("clearance " + bench.job + " U5 --nozzle 8");
  CHECK(report["axis_mm"] == json::array({27.0, 41.0}));
  CHECK(report["heated_radius_mm"] == 4.0);
  const json& list = report["clearances"];
  REQUIRE(list.size() > 2);
  double last = 0;
  for (const json& one : list) {
    CHECK(one["distance_mm"].get<double>() >= last);
    last = one["distance_mm"];
    CHECK(one["at_least_mm"].get<double>() == doctest::Approx(std::max(0.0, last - one["error_mm"].get<double>())));
    CHECK(one["error_mm"].get<double>() > 0);
    for (const char* member : {"id", "label", "kind", "other_side", "heated", "from_axis_mm"}) CHECK(one.contains(member));
  }
  CHECK(bench.asked("clearance " + bench.job + " U5 --within 1")["clearances"].size() < list.size());
  bench.exits(0, "clearance " + bench.board + " U5");  // a board folder does as well
  bench.refuses("clearance " + bench.job + " U99", "U99");
  bench.refuses("clearance " + bench.job + " U5 --nozzle -1", "nozzle");
  bench.refuses("clearance " + bench.job + " U5 --nozzle wood", "--nozzle");
  bench.refuses("clearance " + bench.tmp.path.string() + "/nowhere U5", "nowhere");
}

TEST_CASE("clearance: by hand; the other side said, the nozzle's reach") {
  const BoardWithQuad bench;
  const auto mark = [&](const std::string& words) { bench.exits(0, "mark add " + bench.board + " " + words); };
  mark("--kind keepout --side top --at 20,30 --radius 1 --reason heat --max-temperature 85 --advice shield");
  mark("--kind part --side top --at 40,60 --refdes C1 --outline 39,59,41,59,41,61,39,61");
  mark("--kind part --side bottom --at 40,30 --refdes C2 --outline 39,29,41,29,41,31,39,31");
  bench.exits(0, "part set " + bench.board + " R1 --package own --at 60,30");
  const double s = row_distance(bench.asked("pins " + bench.board + " U3"));
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
}

TEST_CASE("pins: numbers and places, from either side, in a photo; 1 where there is no package") {
  const Bench bench;
  bench.register_photo();
  const json pins = bench.asked("pins " + bench.job + " U1 --photo later_top.jpg");
  REQUIRE(pins.size() == 48);
  CHECK(pins[0]["pin"] == "1");
  CHECK(pins[36]["pin"] == "37");
  // LQFP-48 at (72, 46), 0.5 mm pitch, 8.5 mm between rows: pin 1 upper left, counting counter-clockwise
  // (IPC-7351 zero orientation A), so pin 37 stands at the right end of the top row.
  CHECK(distance(pins[0]["board_mm"], json::array({72 - 4.25, 46 + 2.75})) < 1e-9);
  CHECK(distance(pins[36]["board_mm"], json::array({72 + 2.75, 46 + 4.25})) < 1e-9);
  const double px_per_mm = distance(pins[0]["photo_px"], pins[12]["photo_px"]) / distance(pins[0]["board_mm"], pins[12]["board_mm"]);
  CHECK(px_per_mm > 10);
  CHECK(px_per_mm < 20);
  const json below = bench.asked("pins " + bench.job + " U1 --side bottom");
  CHECK(below[0]["board_mm"] == pins[0]["board_mm"]);
  CHECK(below[0]["seen_mm"][0].get<double>() == doctest::Approx(-pins[0]["seen_mm"][0].get<double>()));
  bench.exits(1, "pins " + bench.job + " TP1");
  bench.refuses("pins " + bench.job + " U1 --side wood", "--side");
  bench.refuses("pins " + bench.job + " U1 --photo no.jpg", "later_top.jpg");
  bench.refuses("pins " + bench.job + " U99", "U99");
}

TEST_CASE("part set and pins: a turned 48-pin quad, pin by pin, from both sides; a package placed by two pads of it") {
  const BoardWithQuad bench;
  const json pins = bench.asked("pins " + bench.board + " U3");
  REQUIRE(pins.is_array());
  REQUIRE(pins.size() == 48);
  // Along the row by hand: (12 - 1) / 2 * 0.5 = 2.75 mm.
  const double s = row_distance(pins);
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

  // Pin 1 by its corner turns the package; two clicked pads place it, and a wrong pitch is said.
  const json set = bench.asked("part set " + bench.board + " U4 --package QFP --pins 48 --pitch 0.5 --body 7x7 --at 70,30 --pin1 lower-right");
  CHECK(set.at("refdes") == "U4");
  CHECK(std::fabs(std::remainder(set.at("rotation_deg").get<double>() - 180, 360)) < 1e-9);
  const json one = pin_of(pins, "1").at("board_mm"), far = pin_of(pins, "25").at("board_mm");
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

TEST_CASE("part set: placed, turned, laid onto two pads with the mismatch said; bad input") {
  const Bench bench;
  const std::string set = "part set " + bench.job + " U33 ", quad = "--package QFP --pins 48 --pitch 0.5 --body 7x7 ";
  const json placed = bench.asked(set + quad + "--at 60,20 --rotation 90 --pin1 lower-left");
  CHECK(placed["package"] == "QFP-48");
  CHECK(placed["at_mm"] == json::array({60.0, 20.0}));
  CHECK(placed["pin1_mm"][0].get<double>() < 60);
  CHECK(placed["pin1_mm"][1].get<double>() < 20);
  CHECK(bench.asked("pins " + bench.job + " U33").size() == 48);
  bench.refuses(set + "--rotation 90 --pin1 upper-left", "--pin1");
  bench.refuses("part set " + bench.job + " U34 " + quad, "--at");
  bench.refuses(set + "--package wood", "package");
  bench.refuses(set + "--pins 47", "--pins");
  bench.refuses(set + "--at wood", "--at");
  bench.refuses(set + "--pads '1=10,10'", "pads");
  bench.refuses(set + "--want wood", "--want");
  bench.refuses(set + "--want 7:sweetness", "--want");
  bench.refuses(set + "--package QFP --pins -4", "pin");
  bench.refuses(set + "--body 7", "--body");
  bench.refuses(set + "--at 1", "--at");
  bench.refuses(set + "--at 1,nan", "");
  bench.refuses(set + "--pin1 north", "--pin1");
  bench.refuses(set + "--pads '1=20,50 99=30,50'", "99");
  CHECK(bench.asked("pins " + bench.job + " U33").size() == 48);  // as it was

  // Pads that fit: pins 1 and 25 of this quad lie at (-4.2, 2.75) and (4.2, -2.75) from its centre.
  const json laid = bench.asked(set + "--pads '1=55.8,22.75 25=64.2,17.25'");
  CHECK(distance(laid["at_mm"], json::array({60.0, 20.0})) < 1e-6);
  CHECK_FALSE(laid.contains("notes"));
  const json wide = bench.asked("part set " + bench.job + " U35 " + quad + "--pads '1=10,10 25=18,18'");
  REQUIRE(wide["notes"].size() > 0);
  CHECK(wide["notes"][0].get<std::string>().find("pitch") != std::string::npos);
}

TEST_CASE("part match: accepted 0, refused or not on the list 1, nothing to hold it against is said") {
  const Bench bench;
  CHECK(bench.asked("part match " + bench.job + " U5 'HV485 E3'")["verdict"] == "accepted");
  const json refused = bench.asked("part match " + bench.job + " U5 'HV485 T'", 1);
  CHECK(refused["verdict"] == "refused");
  CHECK(refused["entry"] == "HV485 T");
  CHECK(bench.asked("part match " + bench.job + " U5 'OTHER 1'", 1)["verdict"] == "not listed");
  const json unlisted = bench.asked("part match " + bench.job + " U7 'OTHER 1'");
  CHECK(unlisted["verdict"] == "not listed");
  CHECK(unlisted["reason"].get<std::string>().find("no accept and no refuse list") != std::string::npos);
  // Both lists are the part's own, patterns and all.
  bench.exits(0, "part set " + bench.job + " U7 --accept 'KX4402*' --refuse 'KX4402B*'");
  const json good = bench.asked("part match " + bench.job + " U7 'kx4402 a7'");
  CHECK(good["verdict"] == "accepted");
  CHECK(good["entry"] == "KX4402*");
  CHECK(good["refdes"] == "U7");
  CHECK(bench.asked("part match " + bench.job + " U7 KX4402B", 1)["verdict"] == "refused");
  const json other = bench.asked("part match " + bench.job + " U7 'ZR 4402'", 1);
  CHECK(other["verdict"] == "not listed");
  CHECK_FALSE(other["reason"].get<std::string>().empty());
  bench.refuses("part match " + bench.job + " U99 X", "U99");
  bench.refuses("part match " + bench.board + " U5 X", "a job folder");
  bench.refuses("part match " + bench.job + " U5", "MARKING");
}
