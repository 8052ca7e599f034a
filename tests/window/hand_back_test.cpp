// From the rework's steps to the record by hand: steps ticked by one key, photos put in their stage and linked,
// a camera's folder watched, the job handed back over what is open, its record written, opened again.
#include <doctest/doctest.h>

#include <X11/keysym.h>

#include <chrono>
#include <fstream>
#include <thread>

#include "exchange/take_in_photo.h"
#include "support/places.h"
#include "window/hands.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

const fs::path demo = places::source_dir() / "boards" / "brackenwick-gc12";

const Job& job_in(Hands& hands) {
  REQUIRE(hands.app().desk_view()->is_job());
  return *hands.app().desk_view()->snapshot.job;
}

void fill(Hands& hands, const std::string& name, const std::string& words) {
  hands.click(name);
  hands.type(words);
  hands.key(XK_Return);
  REQUIRE(hands.settle());
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

void close_and_record(int width, int height) {
  Hands hands(width, height, "hand-back");
  REQUIRE(hands.settle());
  const fs::path dir = make_job(hands.home());
  hands.app().open(dir);
  REQUIRE(hands.settle());
  hands.key(XK_Escape);  // no registering now
  REQUIRE(hands.settle());

  // Steps: started from the list of the part's family, ticked by one key each.
  press(hands, "stage-Rework");
  hands.key(XK_f, {XK_Control_L});
  hands.type("U5");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  press(hands, "start-steps");
  REQUIRE(job_in(hands).actions.size() == 1);
  const std::size_t steps = job_in(hands).actions[0].steps.size();
  REQUIRE(steps > 2);
  hands.key(XK_t);
  REQUIRE(hands.settle());
  hands.key(XK_t, {XK_Shift_L});
  REQUIRE(hands.settle());
  const auto& ticked = job_in(hands).actions[0].steps;
  CHECK(ticked[0].done_at.has_value());
  CHECK(ticked[0].photo.empty());
  CHECK(ticked[1].done_at.has_value());
  CHECK(ticked[1].photo == job_in(hands).photos[0].id);
  CHECK_FALSE(ticked[2].done_at.has_value());
  hands.shoot("01-steps");

  // What is said of a photo.
  const ImVec2 roll = hands.place("roll-0");
  hands.click_at(roll.x, roll.y, 3);
  REQUIRE(hands.settle());
  hands.shoot("02-photo-sheet");
  press(hands, "photo-stage-before");
  CHECK(job_in(hands).photos[0].stage == PhotoStage::before);
  press(hands, "photo-link");
  CHECK(job_in(hands).photos[0].linked.size() == 2);  // the part and its action
  press(hands, "photo-turn");
  CHECK(job_in(hands).photos[0].turn_deg == 90);
  fill(hands, "photo-note", "U5 the wrong way round");
  CHECK(job_in(hands).photos[0].note == "U5 the wrong way round");
  hands.key(XK_Escape);  // the sheet
  REQUIRE(hands.settle());
  CHECK_FALSE(hands.app().state().shown.empty());

  // A camera's folder.
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
  press(hands, "stage-Intake");
  const fs::path camera = hands.home() / "camera";
  fs::create_directory(camera);
  fill(hands, "watch-folder", camera.string());
  press(hands, "watch");
  fs::copy_file(demo / "later-unit/later_after.jpg", camera / "A.jpg");
  for (int i = 0; i < 100 && job_in(hands).photos.size() < 2; ++i) {
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
    hands.settle();
  }
  REQUIRE(job_in(hands).photos.size() == 2);
  hands.shoot("03-watched");
  if (hands.on_screen("accept-found")) press(hands, "accept-found");  // its place was found meanwhile
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
  press(hands, "watch-stop");

  // Handing back says what is open and wants a reason.
  press(hands, "stage-Hand back");
  fill(hands, "add-check", "runs for an hour");
  REQUIRE(job_in(hands).checks.size() == 1);
  press(hands, "check-0");
  CHECK(job_in(hands).checks[0].ticked_at.has_value());
  press(hands, "outcome-fixed");
  hands.shoot("04-hand-back");
  if (hands.on_screen("hand-back-reason")) {
    press(hands, "hand-back");
    CHECK_FALSE(job_in(hands).hand_back.has_value());  // no reason yet
    fill(hands, "hand-back-reason", "the owner could not wait");
  }
  press(hands, "hand-back");
  REQUIRE(job_in(hands).hand_back.has_value());
  CHECK(job_in(hands).hand_back->outcome == "fixed");
  CHECK(job_in(hands).hand_back->warranty_months == 12);
  press(hands, "record-owner");
  press(hands, "record-shop");
  for (const char* file : {"record.pdf", "record.html", "record-shop.pdf", "record-shop.html"}) CHECK_MESSAGE(fs::exists(dir / file), file);
  fill(hands, "addendum", "seen again in spring");
  press(hands, "add-addendum");
  CHECK(job_in(hands).addenda.size() == 1);
  hands.shoot("05-closed");
  fill(hands, "reopen-reason", "came back");
  press(hands, "reopen");
  CHECK_FALSE(job_in(hands).hand_back.has_value());
  CHECK(job_in(hands).earlier_hand_backs.size() == 1);
}

}  // namespace

TEST_CASE("from ticked steps to the record at 1600x1000") { close_and_record(1600, 1000); }
TEST_CASE("from ticked steps to the record at 1280x720") { close_and_record(1280, 720); }
