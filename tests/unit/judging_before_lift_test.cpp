#include <doctest/doctest.h>

#include "judging/step_lists.h"
#include "unit/before_lift_bench.h"

using namespace boardlore;
using namespace boardlore::before_lift_bench;

TEST_CASE("the check is clear when every point is met, and nothing in it is phrased as a permission") {
  const BeforeLiftReport report = Bench().check();
  CHECK(report.open_count() == 0);
  CHECK(report.points.size() == 6);
  for (const CheckPoint& point : report.points) {
    CHECK(point.state == PointState::met);
    for (const char* word : {"safe", "you may", "allowed", "go ahead", "OK to"}) CHECK(point.found.find(word) == std::string::npos);
  }
}

TEST_CASE("pin 1 or polarity has to be marked") {
  Bench bench;
  bench.u3.pin1.reset();
  CHECK(bench.at("pin1").state == PointState::open);
  CHECK_FALSE(bench.at("pin1").to_do.empty());
  bench.u3.polarity = "positive";
  CHECK(bench.at("pin1").state == PointState::met);
  bench.u3.polarity.clear();
  bench.u3.orientation.on_part = "dot";
  CHECK(bench.at("pin1").found.find("dot") != std::string::npos);
  bench.u3.orientation = {};
  bench.u3.package = Package{};
  bench.u3.package->family = PackageFamily::dual_row;
  bench.u3.package->pins = 8, bench.u3.package->pitch_mm = 1.27, bench.u3.package->span_mm = 5.4;
  CHECK(bench.at("pin1").state == PointState::met);
  // A two-terminal package alone does not say which end is the cathode.
  bench.u3.package->family = PackageFamily::two_terminal;
  bench.u3.refdes = "D3";
  CHECK(bench.at("pin1").state == PointState::open);
  bench.u3.refdes = "R3";
  bench.u3.package->pins = 2;
  CHECK(bench.at("pin1").state == PointState::met);  // a resistor has no way round
}

TEST_CASE("the orientation photo: of this job, this side, before any work, near enough, sharp enough, whole") {
  Bench bench;
  CHECK(bench.at("orientation-photo").found.find("20.0 px per mm (10 wanted)") != std::string::npos);

  SUBCASE("none") { bench.job.photos.clear(); }
  SUBCASE("not registered") { bench.job.photos[0].registration.reset(); }
  SUBCASE("the other side") { bench.job.photos = {photo(100, 20, Side::bottom)}; }
  SUBCASE("too far away") { bench.job.photos = {photo(100, 9)}; }
  SUBCASE("a part too small in it") { bench.u3.outline = {{-.3, -.3}, {.3, -.3}, {.3, .3}, {-.3, .3}}; }
  SUBCASE("blurred") { bench.question.focus[id_of(100)] = 0.5 * least_focus; }
  SUBCASE("not measured") { bench.question.focus.clear(); }
  SUBCASE("cut off by the edge") { bench.u3.at = {1, 30}; }
  SUBCASE("taken after the work") { bench.job.photos[0].stage = PhotoStage::after; }
  SUBCASE("added after the first action") {
    Action action;
    action.mark = bench.u3.id, action.what = "reflowed", action.at = opened;
    bench.job.actions = {action};
    bench.job.readings[0].taken_at = opened;
    CHECK(bench.at("orientation-photo").to_do.find("work has begun") != std::string::npos);
  }
  const CheckPoint point = bench.at("orientation-photo");
  CHECK(point.state == PointState::open);
  CHECK_FALSE(point.to_do.empty());
  // "Seen" does not stand in for a photo; a reason does, and stays.
  bench.acknowledge("orientation-photo", "");
  CHECK(bench.at("orientation-photo").state == PointState::open);
  bench.acknowledge("orientation-photo", "lifted by the owner already");
  CHECK(bench.at("orientation-photo").state == PointState::passed_over);
  CHECK(bench.at("orientation-photo").reason == "lifted by the owner already");
  CHECK(bench.at("orientation-photo").by == "Mara");
}

TEST_CASE("an earlier photo still counts once work has begun; the second photo may be the good one") {
  Bench bench;
  Action action;
  action.mark = bench.u3.id, action.what = "lifted", action.at = Timestamp{opened.ms + 2 * hour_ms};
  bench.job.actions = {action};
  CHECK(bench.at("orientation-photo").state == PointState::met);
  // Copied in late, but taken before by the camera's clock.
  bench.job.photos[0].added_at = Timestamp{opened.ms + 3 * hour_ms};
  bench.job.photos[0].captured_at = Timestamp{opened.ms + hour_ms};
  CHECK(bench.at("orientation-photo").state == PointState::met);
  bench.job.photos.insert(bench.job.photos.begin(), photo(101, 40));
  bench.question.focus[id_of(101)] = 0;
  CHECK(bench.at("orientation-photo").state == PointState::met);
  CHECK(bench.at("orientation-photo").found.find("photos/100.jpg") == 0);
  bench.job.photos[1].captured_at = Timestamp{opened.ms - 72 * hour_ms};
  CHECK(bench.at("orientation-photo").found.find("days before the job was opened") != std::string::npos);
}

TEST_CASE("every neighbour and keep-out in the heated circle is listed and has to be acknowledged") {
  Bench bench;
  Mark keepout = part(50, "", {50, 33.5}, 2);
  keepout.kind = MarkKind::keepout;
  keepout.reason = "heat", keepout.advice = "shield", keepout.max_temperature_c = 105;
  bench.others.push_back(keepout);
  bench.others.push_back(part(60, "J1", {50, 27}, 2, Side::bottom));
  bench.others.push_back(part(70, "R70", {90, 30}));
  const CheckPoint shield = bench.at("neighbour:" + id_of(50).text);
  CHECK(shield.state == PointState::open);
  CHECK(shield.to_do == "shield");
  CHECK(shield.found.find("105 °C at most") != std::string::npos);
  CHECK(shield.found.find("0.50 mm away, at least 0.40 mm") == 0);
  const CheckPoint below = bench.at("neighbour:" + id_of(60).text);
  CHECK(below.found.find("through the board") != std::string::npos);
  CHECK(below.title == "J1 on the other side");
  CHECK(bench.check().open_count() == 2);
  bench.acknowledge(shield.point, "");
  CHECK(bench.at(shield.point).state == PointState::met);
  CHECK(bench.at(shield.point).found.find("acknowledged by Mara") != std::string::npos);
  bench.acknowledge(below.point, "board lies on a cold plate");
  CHECK(bench.at(below.point).state == PointState::passed_over);
  CHECK(bench.check().open_count() == 0);
  // Another nozzle reaches farther: what it newly meets is open again.
  bench.others.push_back(part(71, "R71", {57, 30}, 1));
  CHECK(bench.check().open_count() == 0);
  bench.question.nozzle_diameter_mm = 14;
  CHECK(bench.check().open_count() == 1);
}

TEST_CASE("without hot air only what an iron reaches on the same side counts; without scale it is said") {
  Bench bench;
  bench.question.nozzle_diameter_mm = 0;
  bench.others = {part(14, "C14", {53, 30}, 1), part(15, "C15", {58, 30}, 1), part(60, "J1", {50, 27}, 2, Side::bottom)};
  CHECK(bench.check().points.size() == 6);
  Layer no_scale = bench.layer();
  no_scale.board.width_mm.reset();
  const auto report = before_lift(no_scale, bench.job, bench.u3.id, bench.question);
  REQUIRE(report);
  CHECK_FALSE(report->clearance);
  CHECK(report->points[2].found == "board has no scale");
  CHECK(report->points[2].state == PointState::open);
}

TEST_CASE("the spare") {
  Bench bench;
  CHECK(bench.at("spare").found == "\"TX-4410\" matches the accept list (TX-4410*)");
  bench.job.spares[0].marking_seen = "TX-4410B 2503";
  CHECK(bench.at("spare").state == PointState::open);
  CHECK(bench.at("spare").found.find("refuse list") != std::string::npos);
  bench.job.spares[0].marking_seen = "QZ-4410";
  CHECK(bench.at("spare").state == PointState::open);
  bench.job.spares.push_back({id_of(201), bench.u3.id, "tx 4410", "", Timestamp{opened.ms + 1}});
  bench.job.spares[1].marking_seen = "tx-4410 C2";
  CHECK(bench.at("spare").state == PointState::met);  // the last one counts
  bench.job.spares.clear();
  CHECK(bench.at("spare").found == "no spare was held against the lists yet");
  CHECK_FALSE(bench.at("spare").by_acknowledging);
  bench.u3.accept.clear(), bench.u3.refuse.clear();
  CHECK(bench.at("spare").found.find("no accept and no refuse list") != std::string::npos);
  CHECK(bench.at("spare").by_acknowledging);
  bench.acknowledge("spare", "");
  CHECK(bench.at("spare").state == PointState::met);
}

TEST_CASE("readings wanted before the work") {
  Bench bench;
  bench.u3.wanted.push_back({"9", Quantity::diode});
  CHECK(bench.at("readings").state == PointState::open);
  CHECK(bench.at("readings").to_do == "measure diode of pin 9");
  bench.u3.wanted.pop_back();
  CHECK(bench.at("readings").found == "1 of 1");
  Action action;
  action.mark = bench.u3.id, action.at = opened;
  bench.job.actions = {action};
  CHECK(bench.at("readings").state == PointState::open);  // taken after the work
  bench.u3.wanted.clear();
  CHECK(bench.at("readings").found == "none are wanted");
}

TEST_CASE("cautions have to be read") {
  Bench bench;
  bench.job.acknowledgements.clear();
  CHECK(bench.at("cautions").state == PointState::open);
  CHECK(bench.at("cautions").found.find("static") != std::string::npos);
  bench.acknowledge("cautions", "");
  CHECK(bench.at("cautions").state == PointState::met);
}

TEST_CASE("what may be acknowledged, and what needs a reason") {
  const BeforeLiftReport report = Bench().check();
  CHECK(may_acknowledge(report, "cautions", ""));
  CHECK_FALSE(may_acknowledge(report, "pin1", ""));
  CHECK(may_acknowledge(report, "pin1", "round test point, no way round"));
  CHECK_FALSE(may_acknowledge(report, "pin2", "x"));
  CHECK_FALSE(before_lift(Bench().layer(), Bench().job, id_of(999), {}));
}

TEST_CASE("cautions that fit: charge, cell, mains, moisture, static, heat") {
  Bench bench;
  Mark bulk = part(80, "C1", {70, 30});
  bulk.value = "220µF 400V";
  Mark cell = part(81, "BT1", {20, 20});
  Mark inlet = part(82, "J9", {5, 5});
  inlet.text = "Mains inlet";
  bench.others = {bulk, cell, inlet};
  bench.u3.moisture_level = "3";
  const auto keys = [&] {
    std::vector<std::string> all;
    for (const Caution& c : cautions_for_part(bench.layer(), &bench.job, bench.u3, bench.question.now)) all.push_back(c.key);
    return all;
  };
  CHECK(keys() == std::vector<std::string>{"mains", "high-voltage-capacitor", "coin-cell", "moisture", "static", "fumes", "lift-when-liquid"});
  bench.others[0].value = "470u 16V";
  CHECK(keys()[1] == "bulk-capacitor");
  bench.others[0].at = {98, 55};  // far away, low voltage
  bench.others[0].value = "100n";
  bench.others.pop_back();
  bench.u3.moisture_level = "1";
  CHECK(keys() == std::vector<std::string>{"coin-cell", "static", "fumes", "lift-when-liquid"});

  Process plan;
  plan.air_c = 280, plan.alloy = "SAC305", plan.iron_c = 210;
  bench.u3.package_class_c = 260;
  const auto heat = cautions_for_process(plan, bench.u3, nullptr);
  REQUIRE(heat.size() == 2);
  CHECK(heat[0].key == "package-class");
  CHECK(heat[1].text == "iron set to 210 °C cannot melt SAC305, liquid at 220 °C");
  plan = {};
  plan.alloy = "Bi58Sn42", plan.iron_c = 300;
  CHECK(cautions_for_process(plan, bench.u3, nullptr)[0].key == "bismuth");
  plan.alloy = "brass";
  CHECK(cautions_for_process(plan, bench.u3, nullptr)[0].text.find("not in the table") != std::string::npos);
}

TEST_CASE("a keep-out's temperature is held against the plan") {
  Bench bench;
  Mark keepout = part(50, "", {50, 33.5}, 2);
  keepout.kind = MarkKind::keepout;
  keepout.max_temperature_c = 105;
  bench.others.push_back(keepout);
  bench.question.plan = Process{};
  bench.question.plan->air_c = 350;
  const BeforeLiftReport report = bench.check();
  bool found = false;
  for (const Caution& c : report.cautions) found = found || c.key == "keepout-temperature";
  CHECK(found);
}

TEST_CASE("a capacitor's value as people write it") {
  const struct { const char* text; double farad, volt; } rows[] = {{"220µF 400V", 220e-6, 400}, {"470u 16V", 470e-6, 16},    {"1,5 uF/63 V", 1.5e-6, 63},
                                                                   {"100n", 100e-9, 0},        {"10 pF", 10e-12, 0},         {"1000uF", 1e-3, 0},
                                                                   {"2.2nF 1kV", 2.2e-9, 1000}, {"C0G 47p 50V", 47e-12, 50}, {"", 0, 0}, {"X7R", 0, 0}};
  for (const auto& row : rows) {
    CAPTURE(row.text);
    const CapacitorRating rating = rating_of(row.text);
    CHECK(rating.farad.value_or(0) == doctest::Approx(row.farad));
    CHECK(rating.volt.value_or(0) == doctest::Approx(row.volt));
  }
}

TEST_CASE("markings: refuse beats accept, lists are never guessed past") {
  const std::vector<std::string> accept{"TX-4410*", "QM 88?"}, refuse{"TX-4410B*"};
  const struct { const char* seen; SpareVerdict verdict; } rows[] = {
      {"TX-4410", SpareVerdict::accepted},    {"tx-4410\n2503", SpareVerdict::accepted}, {"TX-4410B", SpareVerdict::refused},
      {"TX-441O", SpareVerdict::not_listed},  {"QM885", SpareVerdict::accepted},         {"QM8855", SpareVerdict::not_listed},
      {"", SpareVerdict::not_listed},         {"other TX-4410", SpareVerdict::not_listed}};
  for (const auto& row : rows) {
    CAPTURE(row.seen);
    CHECK(match_marking(accept, refuse, row.seen).verdict == row.verdict);
  }
  CHECK(match_marking(accept, refuse, "TX-441O").words.find("read it again") != std::string::npos);
  CHECK(match_marking({}, {}, "TX").lists_empty);
  CHECK(match_marking({}, refuse, "TX").words.find("no accept list") != std::string::npos);
  CHECK(match_marking({"TX-4410B"}, refuse, "TX-4410B").words.find("settle the lists first") != std::string::npos);
  // An entry full of stars must not make it hang.
  CHECK(match_marking({std::string(2000, '*') + "b"}, {}, std::string(20000, 'a')).verdict == SpareVerdict::not_listed);
}

TEST_CASE("a step list for each usual job") {
  CHECK(usual_step_list(PackageFamily::quad, {})->key == "quad-air");
  CHECK(!usual_step_list(PackageFamily::own_outline, {}));
  const auto steps = steps_of(*find_step_list("quad-air", {}));
  CHECK(steps.size() > 8);
  CHECK_FALSE(steps[0].done_at);
  bool nudge = false;
  for (const Step& step : steps) nudge = nudge || step.name == "nudge every pin";
  CHECK(nudge);
}
