// A dropped photo finds its own place; the technician looks, stops, corrects, rejects or accepts. Then before and
// after of the demo's job are compared, and what was turned and what is gone is in the list and on the card.
//
// Where things really lie is known from boards/brackenwick-gc12/later-unit/truth.json.
#include <doctest/doctest.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "window/drawn_board.h"
#include "window/hands.h"

using namespace boardlore;

namespace {

const std::filesystem::path demo = demo_board();

Photo shown_photo(Hands& hands) {
  const DeskViewPtr view = hands.app().shown_view();
  const DeskPhoto* photo = view->find_photo(hands.app().state().pane[0].photo);
  REQUIRE(photo);
  return photo->photo;
}

// How far the photo's place is from that of the reference it was found on, at the same board points: what is off
// in the reference itself (0.14 mm in one corner, its fiducials were picked) is not the search's doing.
double worst_mm(Hands& hands, const std::string& file) {
  const PhotoFromBoard truth = drawn_map(file), reference_truth = drawn_map("top.jpg");
  const Registration* reference = nullptr;
  const DeskViewPtr view = hands.app().desk_view();
  for (const DeskPhoto& entry : view->photos)
    if (entry.photo.file == "top.jpg") reference = &*entry.photo.registration;
  REQUIRE(reference);
  double worst = 0;
  for (const BoardPoint at : {BoardPoint{5, 90}, {140, 90}, {140, 15}, {15, 5}, {74, 48}})
    worst = std::max(worst, distance_mm(*shown_photo(hands).registration->board_from_photo(*truth(at)), *reference->board_from_photo(*reference_truth(at))));
  return worst;
}

void job_by_itself(int width, int height) {
  Hands hands(width, height, "find-place");
  REQUIRE(hands.settle());
  const auto board = hands.home() / "library" / "boards" / "gc12", dir = hands.home() / "jobs" / "one";
  std::filesystem::create_directories(board.parent_path());
  std::filesystem::create_directories(dir.parent_path());
  std::filesystem::copy(demo, board, std::filesystem::copy_options::recursive);
  {
    Job job;
    job.reported = "relay stuck";
    REQUIRE(Folder::create_job(dir, board, job, make_session("test")));
  }
  hands.app().open(dir);
  REQUIRE(hands.settle());
  REQUIRE(hands.app().desk_view()->is_job());

  // Dropped: it is looked for beside the frame, found, and nothing is written before it is accepted.
  hands.drop({demo / "later-unit" / "later_before.jpg"});
  REQUIRE(hands.settle());
  REQUIRE(hands.app().finder().found(hands.app().state().pane[0].photo));
  CHECK_FALSE(hands.app().state().registering.on);
  CHECK_FALSE(shown_photo(hands).registration);
  hands.shoot("01-found");
  for (const char* name : {"blink-found", "accept-found", "correct-found", "reject-found"}) CHECK_MESSAGE(hands.on_screen(name), name);
  hands.click("blink-found");
  CHECK(hands.app().state().panes == Panes::blink);
  hands.click("blink-found");
  CHECK(hands.app().state().panes == Panes::one);
  hands.click("accept-found");
  REQUIRE(hands.settle());
  REQUIRE(shown_photo(hands).registration);
  CHECK(shown_photo(hands).registration->method == MapMethod::automatic);
  CHECK(worst_mm(hands, "later_before.jpg") < 0.03);

  // The next one: rejected, which leaves nothing; then found again on demand and corrected from its points.
  hands.drop({demo / "later-unit" / "later_after.jpg"});
  REQUIRE(hands.settle());
  REQUIRE(hands.app().finder().found(hands.app().state().pane[0].photo));
  hands.click("reject-found");
  REQUIRE(hands.settle());
  CHECK(hands.app().state().registering.on);
  CHECK(hands.app().state().registering.picked.empty());
  CHECK_FALSE(shown_photo(hands).registration);
  REQUIRE(hands.on_screen("find-place"));
  hands.click("find-place");
  REQUIRE(hands.app().finder().working());
  hands.shoot("02-looking");
  if (hands.on_screen("stop-finding")) {
    hands.click("stop-finding");
    REQUIRE(hands.settle());
    CHECK_FALSE(shown_photo(hands).registration);
    CHECK(hands.app().state().registering.on);
    hands.click("find-place");
  }
  REQUIRE(hands.settle());
  REQUIRE(hands.app().finder().found(hands.app().state().pane[0].photo));
  hands.click("correct-found");
  REQUIRE(hands.settle());
  CHECK(hands.app().state().registering.picked.size() >= 8);
  hands.shoot("03-correcting");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  REQUIRE(shown_photo(hands).registration);
  CHECK(worst_mm(hands, "later_after.jpg") < 0.05);

  // Before against after, part by part.
  hands.click("stage-Prove");
  REQUIRE(hands.settle());
  hands.shoot("04-prove");
  hands.click("compare");
  REQUIRE(hands.settle());
  REQUIRE(hands.app().compared());
  std::string findings;
  for (const PartComparison& part : hands.app().compared()->comparison.parts)
    if (is_finding(part.verdict)) findings += part.refdes + " " + verdict_words(part) + "; ";
  CHECK((findings == "C16 missing; U5 turned 180°; " || findings == "U5 turned 180°; C16 missing; "));
  hands.shoot("05-compared");
  // Kept in the job, as an edit like any other; shown again when the job is opened anew.
  const auto kept = [&] { return hands.app().desk_view()->snapshot.job->comparisons.size(); };
  CHECK(kept() == 1);
  hands.key(XK_z, {XK_Control_L});
  REQUIRE(hands.settle());
  CHECK(kept() == 0);
  hands.key(XK_z, {XK_Control_L, XK_Shift_L});
  REQUIRE(hands.settle());
  CHECK(kept() == 1);
  hands.click("home");
  REQUIRE(hands.settle());
  CHECK_FALSE(hands.app().compared());
  hands.app().open(dir);
  REQUIRE(hands.settle());
  REQUIRE(hands.app().compared());
  CHECK_FALSE(hands.app().compared()->difference);  // the answers are kept, the picture is not
  hands.click("stage-Prove");
  REQUIRE(hands.settle());
  CHECK(hands.on_screen("finding-C16"));
  hands.click("finding-U5");
  REQUIRE(hands.settle());
  CHECK(hands.on_screen("patches"));
  hands.shoot("06-patches");
  hands.key(XK_x);
  REQUIRE(hands.settle());
  CHECK(hands.app().state().panes == Panes::difference);
  hands.shoot("07-difference");
  hands.key(XK_x);

  // The same photo square-on: marks lie where they lie on the board, and it is in no document.
  const Id seen = shown_photo(hands).id;
  const std::string seen_file = shown_photo(hands).file;
  const std::size_t photos_in_job = hands.app().desk_view()->snapshot.job->photos.size();
  hands.key(XK_q);
  REQUIRE(hands.settle());
  const Photo square = shown_photo(hands);
  REQUIRE(square.id != seen);
  CHECK(square.file == std::filesystem::path(seen_file).filename().string() + ", square-on");
  const BoardPoint a = *square.registration->board_from_photo(PhotoPoint{0, 0}), b = *square.registration->board_from_photo(PhotoPoint{double(square.width_px), double(square.height_px)});
  CHECK(a.x_mm == doctest::Approx(0));
  CHECK(b.y_mm == doctest::Approx(0).epsilon(0.1));
  CHECK(a.y_mm == doctest::Approx(*hands.app().desk_view()->snapshot.layer->board.height_mm));
  hands.shoot("08-square-on");
  hands.click("made-menu");
  REQUIRE(hands.settle());
  hands.shoot("09-made-menu");
  hands.click("see-joined");
  REQUIRE(hands.settle());
  CHECK(shown_photo(hands).file == "2 photos joined");
  hands.shoot("10-joined");
  hands.key(XK_s);
  REQUIRE(hands.settle());
  CHECK(hands.app().state().sharpness_shown);
  hands.shoot("11-sharpness");
  hands.key(XK_g);  // a made picture is not registered
  CHECK_FALSE(hands.app().state().registering.on);
  hands.key(XK_b, {XK_Shift_L});
  CHECK(hands.app().state().blink_half_s == 1.0);
  CHECK(hands.app().desk_view()->snapshot.job->photos.size() == photos_in_job);
}

}  // namespace

TEST_CASE("a dropped photo finds its place and before is compared with after at 1600x1000") { job_by_itself(1600, 1000); }
TEST_CASE("a dropped photo finds its place and before is compared with after at 1280x720") { job_by_itself(1280, 720); }
