// Every view drawn for a few frames, at both sizes: nothing fails, what can be clicked lies on the screen, and
// the pictures are there to be looked at.
#include <doctest/doctest.h>

#include "support/places.h"
#include "window/fields.h"
#include "window/hands.h"

using namespace boardlore;

namespace {

void copy_demo(const std::filesystem::path& to) {
  std::filesystem::create_directories(to.parent_path());
  std::filesystem::copy(places::source_dir() / "boards" / "brackenwick-gc12", to, std::filesystem::copy_options::recursive);
}

void look(int width, int height) {
  Hands hands(width, height, "look");
  REQUIRE(hands.settle());
  hands.shoot("start");
  const auto board = hands.home() / "library" / "boards" / "gc12";
  copy_demo(board);
  hands.app().open(board);
  REQUIRE(hands.settle());
  hands.click("home");
  REQUIRE(hands.settle());
  hands.shoot("library");
  fill(hands, "open-path", "/no/such/board");
  CHECK(said_at(hands, "open-path").find("layer.json") != std::string::npos);
  hands.shoot("no-such-folder");
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
  hands.click("library-gc12");
  REQUIRE(hands.settle());
  REQUIRE(hands.app().desk_view()->open);
  hands.shoot("board");
  for (const char* name : {"home", "undo", "redo", "export", "theme", "help", "tool-Part", "tool-Note", "register", "fit", "two-photos", "search", "entry-line", "roll-0"})
    CHECK_MESSAGE(hands.on_screen(name), name);
  hands.key(XK_f, {XK_Control_L});
  hands.type("u3");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  CHECK(hands.app().state().selected.size() == 1);
  hands.shoot("part");
  hands.key(XK_2);
  REQUIRE(hands.settle());
  const ImVec2 pane = hands.place("photo");
  hands.move_to(pane.x, pane.y);
  hands.shoot("two-photos");
  hands.key(XK_w);
  REQUIRE(hands.settle());
  hands.shoot("wipe");
  hands.key(XK_w);
  hands.key(XK_F1);
  hands.shoot("keys");
  hands.key(XK_F1);
  hands.key(XK_F10);
  hands.shoot("light");
  hands.key(XK_F10);
  hands.key(XK_p);
  hands.move_to(pane.x + 40, pane.y + 60);
  REQUIRE(hands.settle());
  hands.shoot("placing");
  hands.key(XK_Escape);
  hands.key(XK_g);
  REQUIRE(hands.settle());
  hands.shoot("registering");
  hands.key(XK_Escape);
  hands.key(XK_F9);
  REQUIRE(hands.settle());
  hands.shoot("folded");
}

}  // namespace

TEST_CASE("every view is whole at 1600x1000") { look(1600, 1000); }
TEST_CASE("every view is whole at 1280x720") { look(1280, 720); }
