// From the rework's steps to the record by hand: steps started and ticked by one key, photos put in their stage
// by dragging and by keys, linked, turned and pasted, a camera's folder watched, the job handed back over what is open, its record written, opened again.
#include <doctest/doctest.h>

#include <X11/keysym.h>

#include <chrono>
#include <fstream>
#include <thread>

#include "exchange/take_in_photo.h"
#include "pictures/encode.h"
#include "support/places.h"
#include "support/run_program.h"
#include "window/fields.h"
#include "window/hands.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

const fs::path demo = places::source_dir() / "boards" / "brackenwick-gc12";

const Job& job_in(Hands& hands) {
  REQUIRE(hands.app().desk_view()->is_job());
  return *hands.app().desk_view()->snapshot.job;
}

void press(Hands& hands, const std::string& name) {
  hands.click(name);
  REQUIRE(hands.settle());
}

fs::path make_job(const fs::path& home) {
  fs::copy(demo, home / "board", fs::copy_options::recursive);
  Job job;
  job.reported = "no output";
  job.unit.serial = "SN 7";
  job.technician = "T. Reyes";
  auto folder = Folder::create_job(home / "job", home / "board", job, make_session("window test"));
  REQUIRE(folder);
  REQUIRE(take_in_photo(*folder, demo / "later-unit/later_before.jpg", Side::top, PhotoStage::intake));
  REQUIRE(folder->save());
  return home / "job";
}

const Photo& photo_in(Hands& hands, std::size_t i) { return job_in(hands).photos.at(i); }

// The job lies open, a rework of U5 is started and two of its steps are ticked by one key each.
fs::path begin(Hands& hands) {
  REQUIRE(hands.settle());
  const fs::path dir = make_job(hands.home());
  hands.app().open(dir);
  REQUIRE(hands.settle());
  hands.key(XK_Escape);  // no registering now
  REQUIRE(hands.settle());
  press(hands, "stage-Rework");
  hands.key(XK_f, {XK_Control_L});
  hands.type("U5");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  // The list changed for the whole shop before it is used: it lies beside the boards, and the next start takes it.
  const auto retype = [&](const char* name, const char* words) {
    hands.click(name);
    hands.key(XK_a, {XK_Control_L});
    hands.type(words);
    hands.key(XK_Return);
    REQUIRE(hands.settle());
  };
  press(hands, "change-list");
  retype("list-names", "shield, flux, heat and lift, clean, inspect");
  hands.shoot("00-steps-changed");
  press(hands, "keep-list");
  CHECK(hands.app().desk_view()->shop->step_lists.size() == 1);
  CHECK(fs::exists(hands.home() / "shop.json"));
  CHECK(hands.on_screen("start-steps"));
  hands.key(XK_t);  // starts it
  REQUIRE(hands.settle());
  REQUIRE(job_in(hands).actions.size() == 1);
  CHECK(hands.app().last_message().find("still open before lifting") != std::string::npos);  // a key asks nothing and says it
  CHECK_FALSE(job_in(hands).actions[0].steps[0].done_at.has_value());
  CHECK(job_in(hands).actions[0].steps.size() == 5);
  hands.key(XK_t);
  REQUIRE(hands.settle());
  hands.key(XK_t, {XK_Shift_L});
  REQUIRE(hands.settle());
  const auto& ticked = job_in(hands).actions[0].steps;
  CHECK(ticked[0].done_at.has_value());
  CHECK(ticked[0].photo.empty());
  CHECK(ticked[1].done_at.has_value());
  CHECK(ticked[1].photo == photo_in(hands, 0).id);
  CHECK_FALSE(ticked[2].done_at.has_value());
  // Changed under way: what is done stays, with its photo; leaving it out is refused.
  press(hands, "change-steps");
  retype("step-names", "heat and lift, inspect");
  CHECK(job_in(hands).actions[0].steps.size() == 5);
  CHECK(said_at(hands, "step-names").find("which is done") != std::string::npos);
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
  retype("step-names", "shield, flux, heat and lift, tin the pads, inspect");
  REQUIRE(job_in(hands).actions[0].steps.size() == 5);
  CHECK(job_in(hands).actions[0].steps[3].name == "tin the pads");
  CHECK(job_in(hands).actions[0].steps[1].photo == photo_in(hands, 0).id);
  CHECK(hands.on_screen("step-photo-2"));
  hands.shoot("01-steps");
  return dir;
}

void say_of_a_photo(Hands& hands) {
  // Dragged out of the roll into a stage; let go elsewhere, nothing changes.
  const ImVec2 roll = hands.place("roll-0");
  hands.press_at(roll.x, roll.y);
  hands.move_to(roll.x + 5, roll.y - 40);
  REQUIRE(hands.settle());
  REQUIRE(hands.on_screen("stage-field-after"));
  const ImVec2 after = hands.place("stage-field-after");
  hands.move_to(after.x, after.y);
  REQUIRE(hands.settle());
  hands.shoot("02-dragged");
  hands.release();
  REQUIRE(hands.settle());
  CHECK(photo_in(hands, 0).stage == PhotoStage::after);
  CHECK_FALSE(hands.on_screen("stage-field-after"));
  hands.drag(roll.x, roll.y, roll.x + 200, roll.y - 4);
  REQUIRE(hands.settle());
  CHECK(photo_in(hands, 0).stage == PhotoStage::after);
  // The same by keys.
  hands.key(XK_bracketleft);
  REQUIRE(hands.settle());
  CHECK(photo_in(hands, 0).stage == PhotoStage::during);
  hands.key(XK_bracketright);
  REQUIRE(hands.settle());
  CHECK(photo_in(hands, 0).stage == PhotoStage::after);
  hands.key(XK_l, {XK_Control_L});
  REQUIRE(hands.settle());
  CHECK(photo_in(hands, 0).linked.size() == 2);  // the part and its action
  hands.key(XK_l, {XK_Control_L});
  REQUIRE(hands.settle());
  CHECK(photo_in(hands, 0).linked.empty());
  hands.key(XK_r, {XK_Control_L});
  REQUIRE(hands.settle());
  CHECK(photo_in(hands, 0).turn_deg == 90);
  // The sheet, by a key: its note can be typed at once.
  hands.key(XK_e);
  REQUIRE(hands.settle());
  REQUIRE(hands.on_screen("photo-note"));
  hands.type("U5 the wrong way round");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  CHECK(photo_in(hands, 0).note == "U5 the wrong way round");
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
  // And by the right button.
  hands.click_at(roll.x, roll.y, 3);
  REQUIRE(hands.settle());
  hands.shoot("03-photo-sheet");
  press(hands, "photo-stage-before");
  CHECK(photo_in(hands, 0).stage == PhotoStage::before);
  press(hands, "photo-link");
  CHECK(photo_in(hands, 0).linked.size() == 2);
  press(hands, "photo-turn");
  CHECK(photo_in(hands, 0).turn_deg == 180);
  hands.key(XK_Escape);  // the sheet
  REQUIRE(hands.settle());
  CHECK_FALSE(hands.app().state().shown.empty());
}

void watch_a_camera(Hands& hands) {
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
  press(hands, "stage-Intake");
  const fs::path camera = hands.home() / "camera";
  fs::create_directory(camera);
  fill(hands, "watch-folder", camera.string());
  press(hands, "watch");
  const std::size_t before = job_in(hands).photos.size();
  fs::copy_file(demo / "later-unit/later_after.jpg", camera / "A.jpg");
  for (int i = 0; i < 100 && job_in(hands).photos.size() == before; ++i) {
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
    hands.settle();
  }
  REQUIRE(job_in(hands).photos.size() == before + 1);
  hands.shoot("04-watched");
  if (hands.on_screen("accept-found")) press(hands, "accept-found");  // its place was found meanwhile
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
  press(hands, "watch-stop");
}

void hand_back(Hands& hands) {
  press(hands, "stage-Hand back");
  fill(hands, "add-check", "runs for an hour");
  REQUIRE(job_in(hands).checks.size() == 1);
  press(hands, "check-0");
  CHECK(job_in(hands).checks[0].ticked_at.has_value());
  press(hands, "outcome-fixed");
  hands.shoot("05-hand-back");
  REQUIRE(hands.on_screen("hand-back-reason"));  // steps are open
  press(hands, "hand-back");
  CHECK_FALSE(job_in(hands).hand_back.has_value());  // no reason yet
  CHECK(said_at(hands, "hand-back-reason").find("reason is needed") != std::string::npos);
  fill(hands, "hand-back-reason", "the owner could not wait");  // Enter is meant as the button
  REQUIRE(job_in(hands).hand_back.has_value());
  CHECK(job_in(hands).hand_back->outcome == "fixed");
  CHECK(job_in(hands).hand_back->warranty_months == 12);
}

void make_records(Hands& hands, const fs::path& dir) {
  // Stopped, nothing half is written; then both.
  hands.click("record-owner");
  hands.shoot("06-record-under-way");
  if (hands.on_screen("stop-record")) {
    hands.click("stop-record");
    REQUIRE(hands.settle());
    // A fast machine may have been done before the click: what is there is whole.
    if (fs::exists(dir / "record.pdf")) CHECK(run_shell("qpdf --check " + shell_quoted((dir / "record.pdf").string())).exit_code == 0);
  }
  press(hands, "record-owner");
  press(hands, "record-shop");
  for (const char* file : {"record.pdf", "record.html", "record-shop.pdf", "record-shop.html"}) CHECK_MESSAGE(fs::exists(dir / file), file);
}

}  // namespace

TEST_CASE("from ticked steps over photos to the record and on, at 1600x1000") {
  Hands hands(1600, 1000, "hand-back");
  const fs::path dir = begin(hands);
  say_of_a_photo(hands);
  watch_a_camera(hands);
  hand_back(hands);
  make_records(hands, dir);
  fill(hands, "addendum", "seen again in spring");
  press(hands, "add-addendum");
  CHECK(job_in(hands).addenda.size() == 1);
  hands.shoot("07-closed");
  fill(hands, "reopen-reason", "came back");
  press(hands, "reopen");
  CHECK_FALSE(job_in(hands).hand_back.has_value());
  CHECK(job_in(hands).earlier_hand_backs.size() == 1);
}

// What the size of the window can spoil: the sheet, the fields of the stages, the hand-back.
TEST_CASE("steps, a photo's sheet and the hand-back at 1280x720") {
  Hands hands(1280, 720, "hand-back");
  begin(hands);
  say_of_a_photo(hands);
  hands.key(XK_Escape);  // the part: the stage's own sheet takes its place
  REQUIRE(hands.settle());
  hand_back(hands);
}
