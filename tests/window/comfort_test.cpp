// The window's comforts by real keys and clicks: the first minute, settings kept, own keys, the ruler, doing anything by a few
// letters, the small map, a meter's value.
#include <doctest/doctest.h>

#include <fstream>

#include "bench/app.h"
#include "bench/bench_settings.h"
#include "pictures/photo_file.h"
#include "storage/user_folders.h"
#include "support/places.h"
#include "support/run_program.h"
#include "support/simulated_meter.h"
#include "window/fields.h"
#include "window/hands.h"

using namespace boardlore;

namespace {

void open_demo(Hands& hands) {
  const auto board = hands.home() / "library" / "boards" / "gc12";
  std::filesystem::create_directories(board.parent_path());
  std::filesystem::copy(places::source_dir() / "boards" / "brackenwick-gc12", board, std::filesystem::copy_options::recursive);
  hands.app().open(board);
  REQUIRE(hands.settle());
}

}  // namespace

TEST_CASE("the first minute: three steps on the demo board, then a board of one's own") {
  Hands hands(1280, 720, "first-minute");
  hands.app().first_view();
  REQUIRE(hands.settle());
  REQUIRE(hands.on_screen("first-steps"));
  hands.shoot("steps");
  hands.drop({places::source_dir() / "boards" / "brackenwick-gc12" / "later-unit" / "later_top.jpg"});
  REQUIRE(hands.settle());
  CHECK(!hands.app().desk_view()->open);  // the demo got no photo of another board
  CHECK(hands.on_screen("new-model"));
  hands.shoot("own-board");
  CHECK(read_window_memory(state_file("window")).first_steps_done);
}

TEST_CASE("settings are kept, themes and big targets stand whole, the ruler measures, a few letters do anything") {
  Hands hands(1600, 1000, "comfort");
  open_demo(hands);
  hands.key(XK_F12);
  hands.shoot("settings");
  fill(hands, "set-camera", "take-one -o here.jpg");
  CHECK(said_at(hands, "set-camera").find("%f") != std::string::npos);
  hands.shoot("settings-refused");
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
  CHECK(hands.app().state().settings_shown);  // Escape was the field's
  CHECK(hands.app().settings().camera.empty());
  hands.click("set-flash");
  hands.click("set-high-contrast");
  hands.key(XK_Escape);
  CHECK(!hands.app().state().settings_shown);
  std::vector<Problem> problems;
  const Settings kept = read_settings(config_file("settings"), problems);
  CHECK(kept.flash);
  CHECK(kept.theme == ThemeName::high_contrast);
  hands.shoot("high-contrast");

  hands.key(XK_F3);
  hands.type("big targ");
  hands.shoot("do-anything");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  CHECK(hands.app().settings().big_targets);
  CHECK(!hands.app().state().doing_shown);
  hands.shoot("big-targets");
  hands.key(XK_F11, {XK_Shift_L});
  CHECK(!hands.app().settings().big_targets);
  hands.key(XK_F10);
  CHECK(hands.app().settings().theme == ThemeName::dark);

  // From one corner of the photo's middle third to another; over two steps.
  hands.key(XK_u);
  const ImVec2 pane = hands.place("photo");
  hands.click_at(pane.x - 100, pane.y);
  hands.click_at(pane.x + 100, pane.y);
  hands.key(XK_u, {XK_Control_L});
  CHECK(hands.app().state().ruler.ends.size() == 2);
  CHECK(hands.app().state().ruler.steps == 2);
  CHECK(hands.on_screen("ruler"));
  CHECK(hands.app().state().selected.empty());  // clicks were the ruler's
  hands.wheel(pane.x, pane.y, 6);
  hands.key(XK_period, {XK_Shift_L});
  REQUIRE(hands.settle());
  CHECK(hands.on_screen("small-map"));
  CHECK(hands.on_screen("which-way-round"));
  hands.shoot("ruler-map");
  const PhotoPoint before = hands.app().state().pane[0].camera.centre;
  hands.click("small-map");
  CHECK(!(hands.app().state().pane[0].camera.centre == before));
  hands.key(XK_Escape);
  CHECK(!hands.app().state().ruler.on);

  // The picture of a part, pasted by another program.
  hands.key(XK_f, {XK_Control_L});
  hands.type("U1");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  hands.key(XK_p, {XK_Control_L, XK_Shift_L});
  REQUIRE(hands.settle());
  CHECK(hands.app().last_message() == "Copied the mark's picture.");
  const auto pasted = hands.home() / "pasted.png";
  CHECK(run_shell("timeout 10 xclip -selection clipboard -t image/png -o > " + shell_quoted(pasted.string())).exit_code == 0);
  const Result<Raster> picture = decode_full(pasted);
  REQUIRE(bool(picture));
  CHECK(picture->width_px >= 200);
  CHECK(run_shell("timeout 10 xclip -selection clipboard -t TARGETS -o").output.find("image/png") != std::string::npos);
  std::filesystem::copy_file(pasted, places::window_pictures() / "comfort-copied-picture.png", std::filesystem::copy_options::overwrite_existing);
}

TEST_CASE("a key of one's own, a wrong line said, a meter's value in the line") {
  Hands first(1280, 720, "own-keys");
  std::filesystem::create_directories(config_file("keys").parent_path());
  std::ofstream(config_file("keys")) << "settings = Ctrl+K\nno such line\n";
  const SimulatedMeter meter({{"*IDN?", "Invented Instruments,BM-1,1,1"}, {"FUNC?", "\"RES\""}, {"READ?", "4.7E3"}});
  Settings settings;
  settings.meter = meter.address();
  REQUIRE(bool(write_settings(config_file("settings"), settings)));
  first.app().read_habits();
  CHECK(first.app().last_message().find("line 2") != std::string::npos);
  open_demo(first);
  first.key(XK_F12);
  CHECK(!first.app().state().settings_shown);
  first.key(XK_k, {XK_Control_L});
  CHECK(first.app().state().settings_shown);
  first.key(XK_Escape);
  first.click("new-job");
  REQUIRE(first.settle());
  first.click("job-new-reported");
  first.type("dead");
  first.click("make-job");
  REQUIRE(first.settle());
  REQUIRE(first.app().desk_view()->is_job());
  first.key(XK_F4);
  REQUIRE(first.settle());
  CHECK(first.app().state().entry == "4.7 kΩ");
  first.shoot("meter");
}
