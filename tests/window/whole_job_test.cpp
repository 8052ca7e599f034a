// A whole job by somebody new, from README alone: what each part of it costs in keys and clicks, and a picture of each state.
// DEVELOPERS.md holds the figures; more than there fails here, fewer asks for the figures to be put right. The same at every
// size of window: where things are is taken from what is drawn. Between the counted parts the other states are looked into.
#include <doctest/doctest.h>

#include <filesystem>
#include <vector>

#include "bench/stage_line.h"
#include "window/card_hands.h"
#include "window/drawn_board.h"
#include "window/fields.h"
#include "window/hands.h"

using namespace boardlore;

namespace {

const std::filesystem::path demo = demo_board();

struct Effort {
  int keys = 0, clicks = 0;
  bool operator==(const Effort&) const = default;
};

// What `work` takes.
template <class Work>
Effort effort(Hands& hands, const char* what, Work work) {
  const int keys = hands.keys_pressed(), clicks = hands.clicks();
  work();
  REQUIRE(hands.settle());
  const Effort taken{hands.keys_pressed() - keys, hands.clicks() - clicks};
  MESSAGE(std::string(what) << ": " << taken.keys << " keys, " << taken.clicks << " clicks");
  return taken;
}

const Job& job_of(Hands& hands) { return *hands.app().desk_view()->snapshot.job; }

std::vector<BoardPoint> like_parts() {
  // The demo's first ten resistors, as its truth has them.
  std::vector<BoardPoint> places;
  const auto truth = drawn_truth();
  for (const auto& part : truth["parts"]) {
    const std::string refdes = part["refdes"];
    if (refdes[0] == 'R' && part["side"] == "top" && places.size() < 10) places.push_back({part["at_mm"][0], part["at_mm"][1]});
  }
  return places;
}

// A board of one's own: photo dropped, named, registered by its corners, ten like parts.
void new_board(Hands& hands) {
  hands.drop({demo / "top.jpg"});
  REQUIRE(hands.settle());
  hands.shoot("01-dropped");
  // Tab goes from field to field.
  hands.type("Brackenwick");
  for (const char* next : {"GC-12", "C", "148", "96"}) {
    hands.key(XK_Tab);
    REQUIRE(hands.settle());
    hands.type(next);
  }
  hands.shoot("01-named");
  REQUIRE(hands.settle());
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  REQUIRE(hands.app().desk_view()->open);
  const PhotoFromBoard top = drawn_map("top.jpg");
  for (const BoardPoint corner : {BoardPoint{0, 96}, {148, 96}, {148, 0}, {0, 0}}) {
    const ImVec2 at = hands.photo_to_screen(*top(corner));
    hands.click_at(at.x, at.y);
  }
  hands.shoot("02-registering");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  REQUIRE(hands.app().desk_view()->photos[0].photo.registration);
  // The first by three corners and its name; the others are copies, each put under the cursor by one key and counted on.
  const std::vector<BoardPoint> places = like_parts();
  REQUIRE(places.size() == 10);
  hands.key(XK_p);
  for (const BoardPoint offset : {BoardPoint{-0.8, -0.4}, {0.8, -0.4}, {0.8, 0.4}}) {
    const ImVec2 at = hands.photo_to_screen(*top(BoardPoint{places[0].x_mm + offset.x_mm, places[0].y_mm + offset.y_mm}));
    hands.click_at(at.x, at.y);
  }
  REQUIRE(hands.settle());
  hands.type("r1");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  hands.key(XK_c, {XK_Control_L});
  for (std::size_t i = 1; i < places.size(); ++i) {
    const ImVec2 at = hands.photo_to_screen(*top(places[i]));
    hands.move_to(at.x, at.y);
    hands.key(XK_v, {XK_Control_L});
    REQUIRE(hands.settle());
  }
  for (int i = 1; i <= 10; ++i) CHECK_MESSAGE(mark_called(hands, "R" + std::to_string(i)), i);
  hands.shoot("03-ten-parts");
}

void reading(Hands& hands) {
  hands.key(XK_space);
  hands.type("C14 10.5k");
  hands.shoot("06-reading");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  CHECK(job_of(hands).readings.size() == 1);
}

void before_lift(Hands& hands) {
  hands.key(XK_f, {XK_Control_L});
  hands.type("u5");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  hands.click("stage-Before lifting");
  REQUIRE(hands.settle());
  REQUIRE(seek(hands, "nozzle"));
  hands.click("nozzle");
  hands.type("8");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  CHECK(hands.on_screen("before-lift-open"));
  hands.shoot("07-before-lift");
}

void hand_back(Hands& hands) {
  hands.click("stage-Hand back");
  REQUIRE(hands.settle());
  hands.shoot("11-hand-back");
  REQUIRE(seek(hands, "outcome-fixed"));
  hands.click("outcome-fixed");
  REQUIRE(hands.settle());
  hands.shoot("12-outcome");
  REQUIRE(seek(hands, "hand-back-reason"));  // steps are open, and a part looks turned
  fill(hands, "hand-back-reason", "as agreed");
  REQUIRE(job_of(hands).hand_back);
  REQUIRE(seek(hands, "record-owner"));
  hands.click("record-owner");
  REQUIRE(hands.settle());
  CHECK(std::filesystem::exists(hands.app().desk_view()->dir / "record.pdf"));
  hands.shoot("13-recorded");
}

// What lies open over the bench for a moment: a key opens it, Escape closes it.
void sheets(Hands& hands) {
  for (const auto& [key, name] : {std::pair<KeySymbol, const char*>(XK_F1, "20-keys"), {XK_F12, "21-settings"}, {XK_F3, "22-anything"}}) {
    hands.key(key);
    REQUIRE(hands.settle());
    hands.shoot(name);
    hands.key(XK_Escape);
    REQUIRE(hands.settle());
  }
  hands.key(XK_M, {XK_Shift_L});
  REQUIRE(hands.settle());
  hands.shoot("23-readings");
  hands.key(XK_M, {XK_Shift_L});
  hands.key(XK_h, {XK_Control_L});
  REQUIRE(hands.settle());
  hands.shoot("24-shared");
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
}

void stage(Hands& hands, const char* name, const char* picture) {
  hands.click(std::string("stage-") + name);
  REQUIRE(hands.settle());
  hands.shoot(picture);
}

// The work itself, and the photo from after it.
void rework_and_prove(Hands& hands) {
  stage(hands, "Rework", "08-rework");
  hands.key(XK_t);
  REQUIRE(hands.settle());
  for (int tick = 0; tick < 2; ++tick) hands.key(XK_t);
  REQUIRE(hands.settle());
  hands.shoot("09-steps");
  hands.drop({demo / "later-unit" / "later_after.jpg"});
  REQUIRE(hands.settle());
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  hands.key(XK_Escape);
  stage(hands, "Prove", "10-prove");
  const auto to_prove = [&] { return stage_rows(*hands.app().desk_view())[static_cast<std::size_t>(Stage::prove)].points; };
  CHECK(to_prove() == std::vector<std::string>{"U5 is not compared before and after"});
  hands.click("compare");
  REQUIRE(hands.settle());
  hands.key(XK_x);
  REQUIRE(hands.settle());
  hands.shoot("10-difference");
  CHECK(hands.on_screen("ringed-U5"));
  CHECK(hands.on_screen("ringed-C16"));
  CHECK(to_prove() == std::vector<std::string>{"U5 looks turned by 180°", "C16 looks missing"});
  hands.key(XK_x);
  REQUIRE(hands.settle());
}

void whole_job(int width, int height, int scale) {
  Hands hands(width, height, "whole-job", scale);
  REQUIRE(hands.settle());
  hands.shoot("00-start");
  CHECK(effort(hands, "new board from a photo to ten parts", [&] { new_board(hands); }) == Effort{42, 7});

  // A job on the demo board, whose layer knows something.
  const auto board = hands.home() / "library" / "boards" / "demo";
  std::filesystem::create_directories(board.parent_path());
  std::filesystem::copy(demo, board, std::filesystem::copy_options::recursive);
  hands.app().open(board);
  REQUIRE(hands.settle());
  hands.shoot("03-a-board");
  CHECK(effort(hands, "new job", [&] {
          hands.click("new-job");
          REQUIRE(hands.settle());
          hands.type("dead");
          hands.shoot("04-new-job");
          hands.key(XK_Return);
          REQUIRE(hands.settle());
          REQUIRE(hands.app().desk_view()->is_job());
        }) == Effort{5, 1});
  hands.shoot("04-intake");
  CHECK(effort(hands, "a later unit's photo registered", [&] {
          hands.drop({demo / "later-unit" / "later_before.jpg"});
          REQUIRE(hands.settle());
          hands.shoot("05-found");
          hands.key(XK_Return);
          REQUIRE(hands.settle());
          const DeskViewPtr view = hands.app().desk_view();
          REQUIRE(view->find_photo(hands.app().state().pane[0].photo)->photo.registration);
        }) == Effort{1, 0});
  stage(hands, "Find", "05-find");
  stage(hands, "Measure", "06-measure");
  CHECK(effort(hands, "a reading", [&] { reading(hands); }) == Effort{11, 0});
  hands.key(XK_Escape);
  show(hands, "C14");
  hands.shoot("06-judged");
  sheets(hands);
  CHECK(effort(hands, "the check before lifting", [&] { before_lift(hands); }) == Effort{6, 2});
  rework_and_prove(hands);
  CHECK(effort(hands, "hand-back and record", [&] { hand_back(hands); }) == Effort{10, 4});
  hands.click("home");
  REQUIRE(hands.settle());
  hands.shoot("14-library");
}

}  // namespace

TEST_CASE("keys, clicks and the look of a whole job at 2560x1440 and twice the scale") { whole_job(2560, 1440, 2); }
TEST_CASE("keys, clicks and the look of a whole job at 1280x720 and at 1600x1000") {
  if (in_short_time()) {
    MESSAGE("skipped: BOARDLORE_ALL_SIZES is not set");
    return;
  }
  SUBCASE("1280x720") { whole_job(1280, 720, 1); }
  SUBCASE("1600x1000") { whole_job(1600, 1000, 1); }
}
