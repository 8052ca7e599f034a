// What readings should be, in the window: the board's thresholds for a short and an open, limits pin by pin and by
// power, where the readings lie on the small plot, and a capacitor let down to a chosen voltage.
#include <doctest/doctest.h>

#include "bench/worklist.h"
#include "judging/judge.h"
#include "window/card_hands.h"
#include "window/fields.h"

using namespace boardlore;

namespace {

const LayerSettings& settings(Hands& hands) { return hands.app().desk_view()->snapshot.layer->settings; }

std::vector<CardPoint> points_of(Hands& hands, const char* refdes) {
  const DeskViewPtr view = hands.app().desk_view();
  return card_points(*view->snapshot.layer, *view->snapshot.job, *mark_called(hands, refdes), view->snapshot.job->readings.back().taken_at);
}

std::optional<Verdict> worst(Hands& hands, const std::string& refdes) {
  for (const WorklistRow& row : worklist_rows(*hands.app().desk_view(), Stage::measure, refdes))
    if (row.name == refdes) return row.worst;
  return std::nullopt;
}

void limits(int width, int height) {
  Hands hands(width, height, "limits");
  lay_out_job(hands.home() / "shop");

  // What counts as a short and as an open is the board's own; what makes no sense changes nothing.
  hands.app().open(hands.home() / "shop/board");
  REQUIRE(hands.settle());
  CHECK(settings(hands).short_below_ohm == 1);
  refill(hands, "short-below", "5");
  refill(hands, "open-above", "1M");
  refill(hands, "charging-above", "2k");
  CHECK(settings(hands).short_below_ohm == 5);
  CHECK(settings(hands).open_above_ohm == 1e6);
  CHECK(settings(hands).charging_above_ohm == 2000);
  // Said under the field that is wrong, which has the focus again; Escape puts back what holds.
  for (const auto& [name, words, expected] : {std::tuple("short-below", "2M", "which counts as open"), std::tuple("short-below", "0", "above 0"),
                                              std::tuple("open-above", "4", "counts as a short"), std::tuple("charging-above", "often", "as 1k")}) {
    const LayerSettings before = settings(hands);
    refill(hands, name, words);
    CHECK(settings(hands) == before);
    CHECK_MESSAGE(said_at(hands, name).find(expected) != std::string::npos, std::string(name));
    CHECK(hands.app().last_message().empty());
    hands.shoot("1-refused");
    hands.key(XK_Escape);
    REQUIRE(hands.settle());
    CHECK(said_at(hands, name).empty());
  }
  // Mended where it stands, without a click.
  refill(hands, "short-below", "never");
  CHECK_FALSE(said_at(hands, "short-below").empty());
  hands.key(XK_a, {XK_Control_L});
  hands.type("4");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  CHECK(settings(hands).short_below_ohm == 4);
  CHECK(said_at(hands, "short-below").empty());
  refill(hands, "short-below", "5");
  hands.shoot("1-thresholds");
  hands.click("home");
  REQUIRE(hands.settle());
  hands.app().open(hands.home() / "shop/job");
  REQUIRE(hands.settle());
  REQUIRE(hands.app().desk_view()->is_job());
  hands.click("stage-Measure");
  REQUIRE(hands.settle());
  enter(hands, "C2 3 ohm");  // over the usual 1 ohm, under this board's 5
  enter(hands, "R2 2M");
  enter(hands, "R6 7 ohm");
  CHECK(worst(hands, "C2") == Verdict::shorted);
  CHECK(worst(hands, "R2") == Verdict::open);
  CHECK(worst(hands, "R6") == Verdict::nothing_to_compare);

  // A limit for one pin, typed; one for another, from a template.
  show(hands, "u3");
  press(hands, "limit-templates");
  refill(hands, "limit-pin", "12");
  press(hands, "limit-of-diode");
  refill(hands, "limit-low-0", "0.40");
  refill(hands, "limit-high-0", "600m");
  refill(hands, "limit-source-0", "ten good units");
  REQUIRE(mark_called(hands, "U3")->limits.size() == 1);
  Limit typed = mark_called(hands, "U3")->limits.front();
  CHECK(typed == Limit{typed.id, Quantity::diode, "12", std::nullopt, 0.4, 0.6, "ten good units", {}});
  press(hands, "limit-templates");
  refill(hands, "limit-pin", "3");
  press(hands, "template-logic-pin");
  REQUIRE(mark_called(hands, "U3")->limits.size() == 2);
  CHECK(mark_called(hands, "U3")->limits[1].pin == "3");
  CHECK(mark_called(hands, "U3")->limits[1].source.find("no source") != std::string::npos);
  // Another for the same pin would never be asked: refused, or in the place of the one there was.
  press(hands, "limit-templates");
  refill(hands, "limit-pin", "12");
  press(hands, "limit-of-diode");
  CHECK(mark_called(hands, "U3")->limits.size() == 2);
  CHECK(said_at(hands, "limit-pin").find("already") != std::string::npos);
  refill(hands, "limit-pin", "3");
  press(hands, "template-logic-pin");
  CHECK(mark_called(hands, "U3")->limits.size() == 2);
  for (const auto& [name, words] : {std::pair("limit-low-0", "0.7"), std::pair("limit-low-0", "cold"), std::pair("limit-high-0", "5k ohm")}) {
    refill(hands, name, words);
    CHECK(mark_called(hands, "U3")->limits[0] == typed);
    CHECK_MESSAGE(said_at(hands, name).find("Expected") == 0, std::string(words));
    hands.key(XK_Escape);
    REQUIRE(hands.settle());
  }
  hands.shoot("2-per-pin");
  enter(hands, "U3.12 0.5 V diode");
  enter(hands, "U3.3 0.9 V diode");
  enter(hands, "U3.5 0.9 V diode");
  const auto pins = points_of(hands, "U3");
  REQUIRE(pins.size() == 3);
  for (const CardPoint& point : pins) {
    CHECK(point.within == point.place.starts_with("pin 12"));
    CHECK(point.out == point.place.starts_with("pin 3"));
    CHECK(point.plot.has_band == !point.place.starts_with("pin 5"));
  }
  CHECK(worst(hands, "U3") == Verdict::high);
  CHECK(seek(hands, "plot-diode"));
  hands.shoot("3-judged");
  // With power on only: the reading taken with power off has nothing to compare with.
  for (const auto power : {std::optional(Power::off), std::optional(Power::on), std::optional<Power>()}) {
    press(hands, "limit-power-0");
    CHECK(mark_called(hands, "U3")->limits[0].power == power);
    for (const CardPoint& point : points_of(hands, "U3"))
      if (point.place.starts_with("pin 12")) CHECK(point.within == (power != Power::on));
  }

  // A capacitor charging: the dots go down and to the right, on an axis that suits resistance.
  show(hands, "c1");
  enter(hands, "C1 10.2k 30k 54k 82k");
  const auto rising = points_of(hands, "C1");
  REQUIRE(rising.size() == 1);
  CHECK(rising[0].plot.log_axis);
  REQUIRE(seek(hands, "plot-resistance"));
  CHECK(hands.place("plot-last").x > hands.place("plot-first").x);
  CHECK(hands.place("plot-last").y > hands.place("plot-first").y);
  hands.shoot("4-charging");

  // Let down to what the technician chooses.
  press(hands, "discharge");
  refill(hands, "discharge-capacitance", "470u");
  refill(hands, "discharge-from", "325");
  CHECK(seek(hands, "discharge-plan"));
  refill(hands, "discharge-to", "a little");
  CHECK(said_at(hands, "discharge-to").find("as 60 V") != std::string::npos);
  CHECK_FALSE(seek(hands, "discharge-plan"));
  refill(hands, "discharge-to", "30");
  refill(hands, "discharge-rating", "5");
  CHECK(seek(hands, "discharge-plan"));
  hands.shoot("5-discharge");
}

}  // namespace

TEST_CASE("thresholds of the board, limits by pin and power, and the plot at 1600x1000") {
  if (in_short_time()) {
    MESSAGE("skipped: BOARDLORE_ALL_SIZES is not set, and the small window is the harder case");
    return;
  }
  limits(1600, 1000);
}
TEST_CASE("thresholds of the board, limits by pin and power, and the plot at 1280x720") { limits(1280, 720); }
