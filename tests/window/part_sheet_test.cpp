// What the card holds of a part: its polarity, what marks pin 1 on it and on the board, its moisture level and class,
// the readings wanted before it is lifted, how the work was done and what follows from that; the picture of how it sits,
// turned as the photo is; a note that brings its view back.
//
// 217 °C for SAC305 and 245 °C as a package class are from the tables in ../shared/reference-facts.md (alloys,
// J-STD-020).
#include <doctest/doctest.h>

#include <cmath>

#include "bench/part_sheet.h"
#include "geometry/pins.h"
#include "window/card_hands.h"
#include "window/fields.h"

using namespace boardlore;

namespace {

constexpr double degree = 3.14159265358979 / 180;

double direction(ImVec2 from, ImVec2 to) { return std::atan2(to.y - from.y, to.x - from.x); }

// From the part's middle to its pin 1: on the photo in view, and in the card's picture.
void sits_as_in_the_photo(Hands& hands, const char* refdes) {
  INFO(refdes);
  const MarkPtr part = mark_called(hands, refdes);
  const auto pin1 = pin1_of(*part);
  REQUIRE(pin1);
  const DeskPhoto* photo = hands.app().desk_view()->find_photo(hands.app().state().pane[0].photo);
  REQUIRE(photo->photo.side == part->side);
  const auto photo_from_board = photo->photo.registration->board_from_photo.inverse();
  REQUIRE(photo_from_board);
  const double seen = direction(hands.photo_to_screen(*(*photo_from_board)(part->at)), hands.photo_to_screen(*(*photo_from_board)(*pin1)));
  REQUIRE(seek(hands, "pins"));
  CHECK(std::fabs(std::remainder(direction(hands.place("pins"), hands.place("card-pin-1")) - seen, 360 * degree)) < 4 * degree);
}

const Action& last_action(Hands& hands) { return hands.app().desk_view()->snapshot.job->actions.back(); }

void part_sheet(int width, int height) {
  Hands hands(width, height, "part-sheet");
  lay_out_job(hands.home() / "shop");
  hands.app().open(hands.home() / "shop/job");
  REQUIRE(hands.settle());

  // Which way round a diode sits.
  show(hands, "d1");
  press(hands, "part-sheet");
  REQUIRE(seek(hands, "polarity-negative"));  // none of the four is cut off
  CHECK(hands.app().anchors().find("polarity-negative")->max.x < static_cast<float>(width) - 12);
  press(hands, "polarity-none");
  CHECK(mark_called(hands, "D1")->polarity.empty());
  press(hands, "polarity-cathode");
  CHECK(mark_called(hands, "D1")->polarity == "cathode");
  refill(hands, "on-part", "cathode band");
  refill(hands, "on-board", "bar");
  CHECK(mark_called(hands, "D1")->orientation.on_part == "cathode band");
  hands.shoot("1-diode");

  // The same of a chip, and what it stands.
  show(hands, "u3");
  refill(hands, "on-part", "notch");
  refill(hands, "on-board", "square pad");
  refill(hands, "moisture-level", "3");
  refill(hands, "package-class", "245");
  refill(hands, "wanted", "7:diode, resistance");
  const std::vector<WantedReading> wanted{{"7", Quantity::diode}, {"", Quantity::resistance}};
  MarkPtr u3 = mark_called(hands, "U3");
  CHECK(u3->orientation.on_part == "notch");
  CHECK(u3->orientation.on_board == "square pad");
  CHECK(u3->moisture_level == "3");
  CHECK(u3->package_class_c == 245);
  CHECK(u3->wanted == wanted);
  hands.shoot("2-chip");
  // What is not understood changes nothing, and says what would be.
  refill(hands, "package-class", "warm");
  CHECK(mark_called(hands, "U3")->package_class_c == 245);
  CHECK(said_at(hands, "package-class").find("temperature") != std::string::npos);
  hands.shoot("2-refused");
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
  refill(hands, "moisture-level", "9");
  CHECK(mark_called(hands, "U3")->moisture_level == "3");
  CHECK(said_at(hands, "moisture-level") == "Expected 1, 2, 2a, 3, 4, 5, 5a or 6, as on the bag's label.");  // J-STD-020's levels
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
  refill(hands, "wanted", "7:colour");
  CHECK(mark_called(hands, "U3")->wanted == wanted);
  CHECK(said_at(hands, "wanted").find("7:diode") != std::string::npos);
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
  // Each was one step that undoes.
  hands.key(XK_z, {XK_Control_L});
  REQUIRE(hands.settle());
  CHECK(mark_called(hands, "U3")->wanted.empty());
  hands.key(XK_z, {XK_Control_L, XK_Shift_L});
  REQUIRE(hands.settle());
  CHECK(*mark_called(hands, "U3") == *u3);

  // The picture of how it sits follows the view, on both sides.
  for (int turn = 0; turn < 3; ++turn) {
    sits_as_in_the_photo(hands, "U3");
    if (turn == 1) hands.shoot("3-turned");
    hands.key(XK_period);
    REQUIRE(hands.settle());
  }
  show(hands, "u9");
  REQUIRE(mark_called(hands, "U9")->side == Side::bottom);
  sits_as_in_the_photo(hands, "U9");
  hands.key(XK_comma);
  REQUIRE(hands.settle());
  sits_as_in_the_photo(hands, "U9");
  hands.shoot("4-from-below");

  // A note keeps the view it was written in.
  show(hands, "u3");
  const ImVec2 pane = hands.place("photo");
  hands.wheel(pane.x, pane.y, 2);
  hands.key(XK_period);
  REQUIRE(hands.settle());
  const PaneState then = hands.app().state().pane[0];
  refill(hands, "add-note", "dot towards the relay");
  REQUIRE(mark_called(hands, "U3")->notes.size() == 1);
  const Note note = mark_called(hands, "U3")->notes.front();
  REQUIRE(note.view);
  CHECK(note.view->side == Side::top);
  // Tab shows the other side and nothing else, though a field of the card was left by Enter just now.
  hands.key(XK_Tab);
  REQUIRE(hands.settle());
  CHECK_FALSE(ImGui::GetIO().WantTextInput);
  CHECK(hands.app().state().pane[0].photo != then.photo);
  hands.key(XK_f);  // the whole photo
  hands.key(XK_comma);
  REQUIRE(hands.settle());
  CHECK(hands.app().state().pane[0].photo != then.photo);
  press(hands, "view-" + note.id.text);
  const PaneState back = hands.app().state().pane[0];
  CHECK(back.photo == then.photo);
  CHECK(back.camera.zoom == doctest::Approx(then.camera.zoom).epsilon(0.002));
  CHECK(std::fabs(std::remainder(back.camera.turn_rad - then.camera.turn_rad, 360 * degree)) < 0.2 * degree);
  CHECK(std::hypot(back.camera.centre.x_px - then.camera.centre.x_px, back.camera.centre.y_px - then.camera.centre.y_px) < 1);
  hands.shoot("5-note");

  // Readings wanted before the work stay open until they are there.
  hands.click("stage-Before lifting");
  REQUIRE(hands.settle());
  CHECK(seek(hands, "reason-readings"));
  hands.shoot("6-wanted");
  enter(hands, "U3.7 0.45 V diode");
  CHECK(seek(hands, "reason-readings"));
  enter(hands, "U3 10.5k");
  CHECK_FALSE(seek(hands, "reason-readings"));

  // How the work was done, and what follows: air over the body's class, an iron that cannot melt the alloy.
  enter(hands, "U3 replaced");
  press(hands, "process");
  for (const auto& [name, words] : {std::pair("process-iron", "350"), std::pair("process-air", "240"), std::pair("process-air-setting", "low"), std::pair("process-nozzle", "8,5"),
                                    std::pair("process-preheat", "150"), std::pair("process-time", "20"), std::pair("process-alloy", "SAC305"), std::pair("process-flux", "RMA")})
    refill(hands, name, words);
  CHECK(last_action(hands).process == Process{350, 240, 150, "low", 8.5, "SAC305", "RMA", 20});
  CHECK_FALSE(seek(hands, "process-caution-package-class"));
  CHECK_FALSE(seek(hands, "process-caution-alloy"));
  refill(hands, "process-air", "300");
  CHECK(seek(hands, "process-caution-package-class"));
  refill(hands, "process-iron", "217");
  CHECK(seek(hands, "process-caution-alloy"));
  refill(hands, "process-time", "-3");
  CHECK(last_action(hands).process.time_s == 20);
  CHECK(said_at(hands, "process-time").find("above 0") != std::string::npos);
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
  CHECK_FALSE(last_action(hands).bag_opened_at);
  press(hands, "bag-opened");
  CHECK(last_action(hands).bag_opened_at);
  CHECK_FALSE(seek(hands, "bag-opened"));
  CHECK(seek(hands, "process"));
  hands.shoot("7-process");
}

}  // namespace

TEST_CASE("which way round, what it stands and how it was done, on the card at 1600x1000") {
  if (in_short_time()) {
    MESSAGE("skipped: BOARDLORE_ALL_SIZES is not set, and the small window is the harder case");
    return;
  }
  part_sheet(1600, 1000);
}
TEST_CASE("which way round, what it stands and how it was done, on the card at 1280x720") { part_sheet(1280, 720); }
