// before-lift, clearance, pins, part set and part match as a person runs them: answers, exit codes, bad input.
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

double distance(const json& a, const json& b) {
  return std::hypot(a[0].get<double>() - b[0].get<double>(), a[1].get<double>() - b[1].get<double>());
}

}  // namespace

TEST_CASE("before-lift: refuses, point by point, until each is met; no word of permission") {
  const Bench bench;
  const std::string check = "before-lift " + bench.job + " U5 --nozzle 8";
  CHECK(Bench::point(bench.asked(check, 1), "orientation-photo")["state"] == "open");
  bench.register_photo();
  const json report = bench.asked(check, 1);
  CHECK(report["refdes"] == "U5");
  CHECK(report["closing"].get<std::string>().find("permission") != std::string::npos);
  const json photo = Bench::point(report, "orientation-photo");
  CHECK(photo["state"] == "met");
  for (const char* stated : {"px per mm", "focus", "wanted"}) CHECK(photo["found"].get<std::string>().find(stated) != std::string::npos);
  CHECK(Bench::point(report, "pin1")["state"] == "met");
  CHECK(Bench::point(report, "spare")["state"] == "open");
  CHECK(report["clearance"]["heated_radius_mm"] == 4.0);
  CHECK_FALSE(report["cautions"].empty());
  std::size_t neighbours = 0, open = 0;
  for (const json& one : report["points"]) {
    CHECK(one.contains("title"));
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

  bench.exits(1, check + " --acknowledge neighbours");
  bench.exits(1, check + " --acknowledge cautions");
  bench.exits(1, "part match " + bench.job + " U5 'HV485 T'");  // refused, and the check stays open
  CHECK(Bench::point(bench.asked(check, 1), "spare")["state"] == "open");
  bench.exits(0, "part match " + bench.job + " U5 'HV485 E3'");
  const json clear = bench.asked(check);
  CHECK(clear["open"] == 0);
  const std::string words = bench.run(check).output;
  for (const char* never : {"you may", "safe to", "go ahead", "is permitted", "is allowed"}) CHECK(words.find(never) == std::string::npos);
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
  CHECK(unlisted["reason"].get<std::string>().find("no accept and no refuse list") != std::string::npos);
  bench.refuses("part match " + bench.job + " U99 X", "U99");
  bench.refuses("part match " + bench.board + " U5 X", "a job folder");
  bench.refuses("part match " + bench.job + " U5", "MARKING");
}
