// A 48-pin quad laid onto two clicked pads, pin 37 named under the cursor, and the check before it is lifted: it
// refuses, its points are closed one by one, and then none is open. Where pads lie on the photo is from the program
// that drew it (later-unit/truth.json).
#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>

#include "geometry/pins.h"
#include "window/drawn_board.h"
#include "window/fields.h"
#include "window/hands.h"

using namespace boardlore;

namespace {

const std::filesystem::path demo = demo_board();

const Job& job_of(Hands& hands) { return *hands.app().desk_view()->snapshot.job; }

void before_lift(int width, int height) {
  Hands hands(width, height, "before-lift");
  const auto board = hands.home() / "library" / "boards" / "gc12";
  std::filesystem::create_directories(board.parent_path());
  std::filesystem::copy(demo, board, std::filesystem::copy_options::recursive);
  hands.app().open(board);
  REQUIRE(hands.settle());
  hands.click("new-job");
  REQUIRE(hands.settle());
  hands.click("job-new-reported");
  hands.type("does not start");
  hands.click("make-job");
  REQUIRE(hands.settle());
  hands.drop({demo / "later-unit" / "later_top.jpg"});
  REQUIRE(hands.settle());
  // Its place is found by itself; used, the marks lie on it.
  REQUIRE(hands.app().finder().found(hands.app().state().pane[0].photo));
  hands.click("accept-found");
  REQUIRE(hands.settle());
  const PhotoFromBoard later = drawn_map("later_top.jpg");

  // The quad, by pads 1 and 25, in the middle of the board.
  hands.click("stage-Before lifting");
  hands.click("tool-Package");
  REQUIRE(hands.settle());
  fill(hands, "package-name", "QFP");
  fill(hands, "package-pins", "48");
  fill(hands, "package-pitch", "0.5");
  fill(hands, "package-body", "7x7");
  hands.shoot("01-package");
  REQUIRE(hands.app().state().last_package.pins == 48);
  // Kept for every board, and taken from there.
  hands.click("keep-package");
  REQUIRE(hands.settle());
  CHECK(std::filesystem::exists(board.parent_path() / "shop.json"));
  REQUIRE(hands.app().desk_view()->shop->packages.size() == 1);
  hands.click("own-packages");
  REQUIRE(hands.settle());
  hands.shoot("01-own-packages");
  hands.click("own-package-0");
  REQUIRE(hands.settle());
  CHECK(hands.app().state().last_package == hands.app().desk_view()->shop->packages[0]);
  Mark wanted;
  wanted.kind = MarkKind::part;
  wanted.at = {60, 45};
  wanted.rotation_deg = 90;
  wanted.package = hands.app().state().last_package;
  const auto pins = pins_of(wanted);
  REQUIRE(pins);
  const ImVec2 middle = hands.photo_to_screen(*later(wanted.at));
  hands.wheel(middle.x, middle.y, 9);
  for (const std::size_t pad : {std::size_t{0}, std::size_t{24}}) {
    const ImVec2 at = hands.photo_to_screen(*later((*pins)[pad].at));
    hands.click_at(at.x, at.y);
  }
  REQUIRE(hands.settle());
  hands.type("u48");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  hands.key(XK_Escape);
  const MarkPtr quad = mark_called(hands, "U48");
  REQUIRE(quad);
  CHECK(distance_mm(quad->at, wanted.at) < 0.3);  // registered by hand at a third of the photo's size
  CHECK(std::fabs(std::remainder(quad->rotation_deg - 90, 360)) < 2.5);

  const auto placed = pins_of(*quad);
  REQUIRE(placed);
  const DeskPhoto* photo = hands.app().desk_view()->find_photo(hands.app().state().pane[0].photo);
  const auto seen = photo->photo.registration->board_from_photo.inverse();
  REQUIRE(seen);
  const ImVec2 pin37 = hands.photo_to_screen(*(*seen)((*placed)[36].at));
  hands.move_to(pin37.x, pin37.y);
  REQUIRE(hands.settle());
  CHECK(hands.on_screen("at-U48.37"));
  hands.shoot("02-pin-37");

  fill(hands, "nozzle", "12");
  hands.shoot("03-refuses");
  REQUIRE(hands.on_screen("before-lift-open"));
  const auto acknowledged = [&] { return job_of(hands).acknowledgements.size(); };
  CHECK(acknowledged() == 0);
  // What is only to be seen is seen; the rest gets its reason. From the top, scrolling on.
  const float card_x = hands.place("nozzle").x, card_y = static_cast<float>(height) / 2;
  const auto next_open = [&](const std::string& start) {
    std::string found;
    float highest = static_cast<float>(height) - 200;
    for (const auto& [name, where] : hands.app().anchors().all())
      if (name.starts_with(start) && where.min.x > card_x - 100 && where.min.y > 100 && where.max.y < highest) found = name, highest = where.max.y;
    return found;
  };
  int scrolled = 0;
  for (int turn = 0; turn < 80 && scrolled < 30; ++turn) {
    const std::string seen_button = next_open("seen-"), reason = next_open("reason-");
    if (!seen_button.empty()) hands.click(seen_button);
    else if (!reason.empty()) fill(hands, reason, "old part goes back in");
    else hands.wheel(card_x, card_y, -1), ++scrolled;
    REQUIRE(hands.settle());
    if (turn == 2) hands.shoot("04-closing");
  }
  CHECK(acknowledged() > 0);
  for (const Acknowledgement& said : job_of(hands).acknowledgements) CHECK(said.mark == quad->id);
  hands.wheel(card_x, card_y, 40);
  REQUIRE(hands.settle());
  CHECK(hands.on_screen("before-lift-none-open"));
  hands.shoot("05-none-open");
}

}  // namespace

TEST_CASE("a quad by two clicks, its pin 37, and the check at 1600x1000") { before_lift(1600, 1000); }
TEST_CASE("a quad by two clicks, its pin 37, and the check at 1280x720") { before_lift(1280, 720); }
