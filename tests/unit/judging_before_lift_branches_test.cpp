// Each branch of the before-lift check by a case that only it decides; every one was broken once to see its case fail.
#include <doctest/doctest.h>

#include "unit/before_lift_bench.h"

using namespace boardlore;
using namespace boardlore::before_lift_bench;

namespace {

Action action_on(const Mark& mark, std::int64_t hours) {
  Action action;
  action.id = id_of(400 + static_cast<int>(hours)), action.mark = mark.id, action.what = "reflowed", action.at = Timestamp{opened.ms + hours * hour_ms};
  return action;
}

bool has(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

}  // namespace

TEST_CASE("only the part's own first action ends the time for a photo") {
  Bench bench;
  bench.job.actions = {action_on(bench.others[0], 0)};
  CHECK(bench.at("orientation-photo").state == PointState::met);
  bench.job.actions = {action_on(bench.u3, 2), action_on(bench.u3, 0)};  // entered late, done first
  bench.job.readings[0].taken_at = opened;
  CHECK(bench.at("orientation-photo").state == PointState::open);
}

TEST_CASE("an acknowledgement is of one part and one point, and does not change what is met") {
  Bench bench;
  bench.job.acknowledgements.clear();
  bench.acknowledge("cautions", "");
  bench.job.acknowledgements[0].mark = id_of(14);
  CHECK(bench.at("cautions").state == PointState::open);
  bench.acknowledge("readings", "no meter at hand");
  CHECK(bench.at("readings").state == PointState::met);
  CHECK(bench.at("readings").reason.empty());
  CHECK(bench.at("cautions").state == PointState::open);
  // The last word counts.
  bench.acknowledge("cautions", "");
  bench.acknowledge("cautions", "read by the owner");
  bench.job.acknowledgements.back().at = Timestamp{opened.ms + 1};
  CHECK(bench.at("cautions").state == PointState::passed_over);
}

TEST_CASE("pin 1: what is marked on part and board is told apart; which parts have no way round") {
  Bench bench;
  bench.u3.pin1.reset();
  bench.u3.polarity = "positive";
  CHECK(has(bench.at("pin1").found, "the pin-1 end is the positive"));
  bench.u3.polarity.clear();
  bench.u3.orientation = {"notch", "triangle"};
  CHECK(bench.at("pin1").state == PointState::met);
  CHECK(has(bench.at("pin1").found, "on the part: notch"));
  CHECK(has(bench.at("pin1").found, "on the board: triangle"));
  bench.u3.orientation = {"", "triangle"};
  CHECK(bench.at("pin1").state == PointState::open);  // the board's mark alone tells nothing of the part
  CHECK(has(bench.at("pin1").found, "triangle"));
  bench.u3.orientation = {};
  for (const char* refdes : {"R3", "L3", "FB3", "F3", "JP3"}) {
    CAPTURE(refdes);
    bench.u3.refdes = refdes;
    CHECK(bench.at("pin1").state == PointState::met);
  }
  bench.u3.refdes = "C3";
  CHECK(bench.at("pin1").state == PointState::open);
  bench.u3.refdes = "R3";  // a network of four has
  bench.u3.package = Package{};
  bench.u3.package->pins = 4;
  CHECK(bench.at("pin1").state == PointState::open);
}

TEST_CASE("the orientation photo: what was found is said in numbers, of the best photo") {
  Bench bench;
  CHECK(has(bench.at("orientation-photo").found, "focus 17.00 (1.70 wanted)"));
  bench.question.focus[id_of(100)] = 1;
  CHECK(has(bench.at("orientation-photo").found, "photos/100.jpg: 20.0 px per mm"));
  bench.question.focus.clear();
  CHECK(has(bench.at("orientation-photo").found, "focus not measured"));
  bench.u3.outline = {{-2, -.4}, {2, -.4}, {2, .4}, {-2, .4}};  // long and narrow: its short side counts
  bench.question.focus[id_of(100)] = 10 * least_focus;
  CHECK(has(bench.at("orientation-photo").found, "short side 16 px"));
  CHECK(bench.at("orientation-photo").state == PointState::open);
}

TEST_CASE("the orientation photo: near any edge it is cut off, beyond it there is no part") {
  for (const BoardPoint near : {BoardPoint{1, 30}, {99, 30}, {50, 1}, {50, 59}}) {
    Bench bench;
    bench.u3.at = near;
    CHECK(bench.at("orientation-photo").state == PointState::open);
    CHECK(has(bench.at("orientation-photo").found, "cut off by the edge"));
  }
  for (const BoardPoint beyond : {BoardPoint{-20, 30}, {120, 30}, {50, -20}, {50, 80}}) {
    Bench bench;
    bench.u3.at = beyond;
    CHECK(has(bench.at("orientation-photo").found, "no registered photo"));
  }
  // The region is a little larger than the part: the board's own mark of pin 1 lies there.
  const Bench bench;
  const auto candidates = orientation_candidates(bench.layer(), bench.job, bench.u3);
  REQUIRE(candidates.size() == 1);
  CHECK(candidates[0].low.x_px == doctest::Approx((50 - 2 - 0.6) * 20));
  CHECK(candidates[0].high.y_px == doctest::Approx((60 - 30 + 2 + 0.6) * 20));
}

TEST_CASE("the orientation photo: the nearer one first, a whole one before that; clocks that are wrong") {
  Bench bench;
  bench.job.photos = {photo(101, 12), photo(102, 20)};
  bench.question.focus[id_of(101)] = bench.question.focus[id_of(102)] = 10 * least_focus;
  CHECK(has(bench.at("orientation-photo").found, "photos/102.jpg"));
  bench.job.photos[1].width_px = 40;  // the part is half outside
  bench.u3.at = {3, 30};
  bench.question.focus[id_of(101)] = 0.1;
  CHECK(has(bench.at("orientation-photo").found, "photos/101.jpg"));

  Bench clocks;
  clocks.job.photos[0].captured_at = Timestamp{opened.ms - 24 * hour_ms};
  CHECK_FALSE(has(clocks.at("orientation-photo").found, "days before"));  // a day is an evening's difference
  clocks.job.actions = {action_on(clocks.u3, 2)};
  clocks.job.photos[0].captured_at = Timestamp{opened.ms + 500 * hour_ms};  // ahead of time, but added before the work
  CHECK(clocks.at("orientation-photo").state == PointState::met);
}

TEST_CASE("what is to be done about each neighbour") {
  Bench bench;
  const auto told = [&](const char* reason, const char* advice, Side side) {
    Mark keepout = part(50, "", {50, 33.5}, 2, side);
    keepout.kind = MarkKind::keepout;
    keepout.reason = reason, keepout.advice = advice, keepout.height_mm = 7.5;
    bench.others = {keepout};
    return bench.at("neighbour:" + id_of(50).text);
  };
  CHECK(told("heat", "", Side::top).to_do == "shield, remove first or lower the temperature");
  CHECK(told("heat", "foil tape", Side::top).to_do == "foil tape");
  CHECK(told("knock", "", Side::top).to_do == "remove first or guard it");
  CHECK(told("height", "", Side::top).to_do == "remove first or guard it");
  CHECK(told("solvent", "", Side::top).to_do == "keep solvent off");
  CHECK(told("static", "", Side::top).to_do == "earth yourself and the tool");
  CHECK(told("heat", "", Side::bottom).to_do == "watch the other side: hold it up, lower the temperature");
  CHECK(has(told("heat", "", Side::top).found, "7.5 mm high"));
  CHECK(has(told("heat", "", Side::top).found, "in the heated circle"));
  bench.question.nozzle_diameter_mm = 0;
  CHECK(told("heat", "", Side::top).to_do == "mind it with tip and tweezers");
  CHECK_FALSE(has(told("heat", "", Side::top).found, "heated"));
}

TEST_CASE("the clearance list reaches as far as the nozzle, knows the photo's error and the scale") {
  Bench bench;
  bench.others = {part(15, "C15", {58, 30}, 1)};
  bench.question.nozzle_diameter_mm = 14;
  BeforeLiftReport report = bench.check();
  REQUIRE(report.clearance);
  REQUIRE(report.clearance->found.size() == 1);  // 5.5 mm away, within the nozzle's 7, outside its circle
  CHECK_FALSE(report.clearance->found[0].heated);
  const double without = report.clearance->found[0].at_least_mm;
  bench.question.registration_error_mm = [](BoardPoint) { return 0.5; };
  CHECK(bench.check().clearance->found[0].at_least_mm < without - 0.3);
  Layer no_size = bench.layer();
  no_size.board.width_mm.reset();
  bench.question.scale_known = true;
  const auto known = before_lift(no_size, bench.job, bench.u3.id, bench.question);
  REQUIRE(known);
  CHECK(known->clearance);
}

TEST_CASE("the spare: of this part, against whichever list there is") {
  Bench bench;
  bench.job.spares[0].mark = id_of(14);
  CHECK(bench.at("spare").found == "no spare was held against the lists yet");
  bench.job.spares[0].mark = bench.u3.id;
  bench.job.spares[0].marking_seen = "TX-4410B";
  CHECK(bench.at("spare").to_do == "find another spare");
  bench.job.spares[0].marking_seen = "QZ-1";
  CHECK(has(bench.at("spare").to_do, "put the marking on the accept list"));
  bench.job.spares.clear();
  bench.u3.refuse.clear();
  CHECK(bench.at("spare").found == "no spare was held against the lists yet");
  CHECK_FALSE(bench.at("spare").by_acknowledging);
  bench.u3.refuse = {"TX-4410B*"};
  bench.u3.accept.clear();
  CHECK(bench.at("spare").found == "no spare was held against the lists yet");
  CHECK_FALSE(bench.at("spare").by_acknowledging);
}

TEST_CASE("a wanted reading: of this part, this pin, this quantity; one that lost its mark goes by its name") {
  Bench bench;
  Reading& reading = bench.job.readings[0];
  reading.mark = {};
  reading.refdes = "U3";
  CHECK(bench.at("readings").state == PointState::met);
  reading.refdes = "U4";
  CHECK(bench.at("readings").state == PointState::open);
  reading.mark = bench.u3.id;
  reading.pin = "8";
  CHECK(bench.at("readings").state == PointState::open);
  reading.pin = "7";
  reading.quantity = Quantity::diode;
  CHECK(bench.at("readings").state == PointState::open);
}

TEST_CASE("only a part is lifted") {
  Bench bench;
  bench.others[0].kind = MarkKind::keepout;
  const auto report = before_lift(bench.layer(), bench.job, id_of(14), bench.question);
  REQUIRE_FALSE(report);
  CHECK(report.problem().expected == "a part of this board");
}
