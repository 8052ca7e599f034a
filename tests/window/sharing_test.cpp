// Several people on one folder, seen in the window: who else is here, a dispute settled by one click and undone, an
// earlier version brought back, others' changes that come in, a region of a photo covered, a bundle dropped.
#include <doctest/doctest.h>

#include <SDL_timer.h>
#include <fstream>

#include "exchange/bundle.h"
#include "exchange/cover_photo.h"
#include "pictures/photo_file.h"
#include "storage/merge.h"
#include "storage/settle.h"
#include "support/places.h"
#include "window/hands.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

DeskViewPtr view(Hands& hands) { return hands.app().desk_view(); }

// Frames until it holds; the window looks around every two seconds.
template <class Holds>
bool wait_for(Hands& hands, Holds holds) {
  for (int i = 0; i < 200; ++i) {
    if (holds()) return true;
    hands.settle(6);
    SDL_Delay(30);
  }
  return holds();
}

// The demo's board, and the same edited by two people who disagree about a part's value.
fs::path disputed_board(const fs::path& library, std::string& refdes) {
  fs::create_directories(library);
  fs::copy(places::source_dir() / "boards/brackenwick-gc12", library / "board");
  Result<Folder> one = Folder::open(library / "board", make_session("one")), other = Folder::open(library / "board", make_session("other"));
  REQUIRE(one);
  REQUIRE(other);
  MarkPtr part;
  one->now().layer->marks.each([&](const MarkPtr& mark) {
    if (!part && mark->kind == MarkKind::part && !mark->refdes.empty()) part = mark;
  });
  REQUIRE(part);
  refdes = part->refdes;
  for (Folder* folder : {&*one, &*other}) {
    Mark changed = *part;
    changed.value = folder == &*one ? "22u 35V" : "47u 25V";
    REQUIRE(folder->commit(ChangeMark{changed, "value"}));
    REQUIRE(folder->save());
  }
  return library / "board";
}

void sharing(int width, int height) {
  Hands hands(width, height, "sharing");
  std::string refdes;
  const fs::path dir = disputed_board(hands.home() / "made", refdes);
  hands.app().open(dir);
  REQUIRE(hands.settle());
  REQUIRE(disputes_of(view(hands)->snapshot).size() == 1);

  // Somebody else opens the folder, and saves.
  Session ann = make_session("ann");
  ann.technician = "Ann";
  {
    Desk colleague(ann);
    colleague.open(dir);
    colleague.wait_idle();
    REQUIRE(wait_for(hands, [&] { return view(hands)->others.size() == 1; }));
    CHECK(view(hands)->others[0].who == "Ann");
    Mark mark;
    mark.id = ann.new_id();
    mark.kind = MarkKind::probe;
    mark.refdes = "TP901";
    mark.at = {20, 20};
    colleague.commit("place TP901", {PlaceMark{mark}});
    colleague.save();
    colleague.wait_idle();
    REQUIRE(wait_for(hands, [&] { return mark_called(hands, "TP901") != nullptr; }));
    hands.shoot("1-who-and-dispute");
    hands.click("shared");
    REQUIRE(hands.settle());
    hands.shoot("2-sheet");
    // One choice settles, one undo has the dispute back, the other choice settles the other way.
    hands.click("settle-0-other");
    REQUIRE(wait_for(hands, [&] { return disputes_of(view(hands)->snapshot).empty(); }));
    const std::string chosen = mark_called(hands, refdes)->value;
    hands.key(XK_z, {XK_Control_L});
    REQUIRE(wait_for(hands, [&] { return disputes_of(view(hands)->snapshot).size() == 1; }));
    hands.click("settle-0-one");
    REQUIRE(wait_for(hands, [&] { return disputes_of(view(hands)->snapshot).empty(); }));
    CHECK(mark_called(hands, refdes)->value != chosen);
    CHECK(mark_called(hands, "TP901") != nullptr);
    REQUIRE(wait_for(hands, [&] { return !view(hands)->unsaved; }));
    // What this window saved is with the colleague.
    colleague.look_around();
    colleague.wait_idle();
    CHECK(disputes_of(colleague.view()->snapshot).empty());
  }
  REQUIRE(wait_for(hands, [&] { return view(hands)->others.empty(); }));

  // An earlier version back, and away again.
  REQUIRE(hands.on_screen("restore-0"));
  const std::size_t marks = view(hands)->snapshot.layer->marks.size();
  hands.click("restore-0");
  REQUIRE(wait_for(hands, [&] { return !disputes_of(view(hands)->snapshot).empty() || view(hands)->snapshot.layer->marks.size() != marks; }));
  hands.shoot("3-version-back");
  hands.key(XK_z, {XK_Control_L});
  REQUIRE(wait_for(hands, [&] { return disputes_of(view(hands)->snapshot).empty() && view(hands)->snapshot.layer->marks.size() == marks; }));
  hands.click("sharing-close");
  REQUIRE(hands.settle());
  CHECK_FALSE(hands.on_screen("sharing-close"));

  // A region covered by a drag, and undone.
  const Photo before = view(hands)->photos.front().photo;
  const ImVec2 roll = hands.place("roll-0");
  hands.click_at(roll.x, roll.y, 3);
  REQUIRE(hands.settle());
  hands.click("cover-region");
  REQUIRE(hands.settle());
  hands.shoot("4-covering");
  const ImVec2 from = hands.photo_to_screen({before.width_px * 0.4, before.height_px * 0.4}), to = hands.photo_to_screen({before.width_px * 0.55, before.height_px * 0.5});
  hands.drag(from.x, from.y, to.x, to.y);
  REQUIRE(wait_for(hands, [&] { return view(hands)->photos.front().photo.file != before.file; }));
  REQUIRE(hands.settle(20));
  hands.shoot("5-covered");
  CHECK(fs::exists(dir / uncovered_folder / before.file));
  CHECK_FALSE(fs::exists(dir / before.file));
  hands.key(XK_z, {XK_Control_L});
  REQUIRE(wait_for(hands, [&] { return view(hands)->photos.front().photo.file == before.file; }));

  // The same by the keyboard alone: a key begins it, arrows and Enter set two corners; Esc leaves it.
  const float left = hands.place("photo").x, top = hands.place("photo").y;
  hands.key(XK_e);
  REQUIRE(hands.settle());
  REQUIRE(hands.on_screen("covering"));
  hands.key(XK_Left, {XK_Shift_L});
  hands.key(XK_Return);
  hands.key(XK_Escape);
  REQUIRE(hands.settle());
  CHECK_FALSE(hands.on_screen("covering"));
  CHECK(view(hands)->photos.front().photo.file == before.file);
  hands.key(XK_e);
  REQUIRE(hands.settle());
  hands.key(XK_Left, {XK_Shift_L});
  hands.key(XK_Up, {XK_Shift_L});
  hands.key(XK_Up);
  hands.key(XK_Return);
  for (int i = 0; i < 3; ++i) hands.key(XK_Right, {XK_Shift_L});
  hands.key(XK_Down);
  hands.key(XK_Down, {XK_Shift_L});
  hands.shoot("5b-covering-by-keys");
  hands.key(XK_Return);
  REQUIRE(wait_for(hands, [&] { return view(hands)->photos.front().photo.file != before.file; }));
  REQUIRE(hands.settle(20));
  {
    const auto covered = decode_full(view(hands)->photos.front().path);
    REQUIRE(covered);
    const ScreenFromPhoto screen = screen_from_photo(hands.app().state().pane[0].camera, {left, top});
    const auto level = [&](float x, float y) {
      const PhotoPoint at = screen.photo_from_screen({left + x, top + y});
      const std::uint8_t* p = covered->rgba.data() + 4 * (static_cast<std::size_t>(at.y_px) * static_cast<std::size_t>(covered->width_px) + static_cast<std::size_t>(at.x_px));
      return std::array<int, 3>{p[0], p[1], p[2]};
    };
    // From (-40, -44) to (80, 0) about the middle: one even colour inside, the board outside.
    for (const auto& [x, y] : {std::pair{-36.F, -40.F}, std::pair{76.F, -40.F}, std::pair{76.F, -4.F}, std::pair{20.F, -20.F}}) CHECK(level(x, y) == level(0, -10));
    CHECK((level(-70, -20) != level(0, -10) || level(110, -20) != level(0, -10)));
  }
  hands.key(XK_z, {XK_Control_L});
  REQUIRE(wait_for(hands, [&] { return view(hands)->photos.front().photo.file == before.file; }));

  // Out as one file, and in again as another shop's.
  hands.key(XK_e, {XK_Control_L});
  REQUIRE(wait_for(hands, [&] { return !hands.app().last_message().empty() && fs::exists(dir / "shared"); }));
  REQUIRE(hands.settle());
  fs::path zip;
  for (const auto& entry : fs::directory_iterator(dir / "shared"))
    if (entry.path().extension() == ".zip") zip = entry.path();
  REQUIRE_FALSE(zip.empty());
  hands.drop({zip});
  REQUIRE(wait_for(hands, [&] { return view(hands)->dir != dir; }));
  REQUIRE(hands.settle());
  CHECK(view(hands)->snapshot.layer->marks.size() == marks);
  hands.shoot("6-other-shop");
  // A bad one changes nothing and says why.
  const fs::path open_now = view(hands)->dir;
  std::ofstream(hands.home() / "bad.zip") << "PK no archive";
  hands.drop({hands.home() / "bad.zip"});
  REQUIRE(wait_for(hands, [&] { return hands.app().last_message().find("bundle") != std::string::npos; }));
  CHECK(view(hands)->dir == open_now);
}

}  // namespace

TEST_CASE("disputes, versions, colleagues, covered regions and bundles in the window") { sharing(1600, 1000); }
TEST_CASE("the same in a low window") { sharing(1280, 720); }
