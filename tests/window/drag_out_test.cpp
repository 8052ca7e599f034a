// Files dragged out of the window into another program's, which is a target of its own here (drop_target.h): photos out of the
// roll, the record, an export; and all that can go wrong with whoever they are dragged to. The same by keys, through the clipboard.
#include <doctest/doctest.h>

#include <SDL.h>
#include <X11/keysym.h>

#include "bench/x11_selection.h"
#include "exchange/take_in_photo.h"
#include "storage/file_bytes.h"
#include "support/places.h"
#include "window/drop_target.h"
#include "window/hands.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

const fs::path demo = places::source_dir() / "boards" / "brackenwick-gc12";

// The middle of a target of 300 x 200 beside the window of 1280 x 720.
constexpr int there_x = 1500, there_y = 300, wide = 300, high = 200;
constexpr float to_x = there_x + wide / 2, to_y = there_y + high / 2;

template <class Holds>
bool wait_for(Hands& hands, Holds holds, int for_ms = 4000) {
  for (const Uint32 from = SDL_GetTicks(); SDL_GetTicks() - from < static_cast<Uint32>(for_ms);) {
    if (holds()) return true;
    hands.frame();
    SDL_Delay(5);
  }
  return holds();
}

const Job& job_in(Hands& hands) { return *hands.app().desk_view()->snapshot.job; }
const std::string& said(Hands& hands) { return hands.app().last_message(); }

// A job in a folder whose name has what an address can't hold as it is; one photo of its own.
fs::path open_job(Hands& hands) {
  fs::copy(demo, hands.home() / "board", fs::copy_options::recursive);
  const fs::path dir = hands.home() / "jöb 50% a";
  auto folder = Folder::create_job(dir, hands.home() / "board", Job{}, make_session("window test"));
  REQUIRE(folder);
  REQUIRE(take_in_photo(*folder, demo / "later-unit/later_before.jpg", Side::top, PhotoStage::intake));
  REQUIRE(folder->save());
  hands.app().open(dir);
  REQUIRE(hands.settle());
  for (int i = 0; i < 2; ++i) hands.key(XK_Escape);
  REQUIRE(hands.settle());
  return dir;
}

std::string place_in_roll(Hands& hands, bool reference) {
  const auto& photos = hands.app().desk_view()->photos;
  for (std::size_t i = 0; i < photos.size(); ++i)
    if (photos[i].reference == reference) return "roll-" + std::to_string(i);
  FAIL("no such photo");
  return {};
}

// Pressed on what is called so and pulled to a place, the button still down.
void pull(Hands& hands, const std::string& anchor, float x, float y) {
  const ImVec2 from = hands.place(anchor);
  hands.press_at(from.x, from.y);
  for (int i = 1; i <= 4; ++i) hands.move_to(from.x + (x - from.x) * static_cast<float>(i) / 4, from.y + (y - from.y) * static_cast<float>(i) / 4);
}

void let_go(Hands& hands) {
  hands.release();
  REQUIRE(wait_for(hands, [&] { return !hands.app().drag_out().under_way(); }, 9000));
  for (int i = 0; i < 3; ++i) hands.frame();
  // Nothing stays held: what is clicked next is clicked.
  CHECK_FALSE(ImGui::IsAnyMouseDown());
  CHECK(hands.app().state().dragged_photo.empty());
}

std::string uri_of(const Hands& hands, const std::string& file) { return "file://" + hands.home().string() + "/j%C3%B6b%2050%25%20a/" + file + "\r\n"; }

}  // namespace

TEST_CASE("a photo dragged out of the roll is given to the program it is let go over") {
  Hands hands(1280, 720, "drag-out");
  const fs::path dir = open_job(hands);
  const Id shown = hands.app().state().pane[0].photo;
  const std::string mine = place_in_roll(hands, false), reference = place_in_roll(hands, true);
  const std::string file = job_in(hands).photos.at(0).file;  // photos/later_before.jpg
  {
    DropTarget target(there_x, there_y, wide, high);
    pull(hands, mine, 900, 300);
    hands.shoot("1-inside");
    CHECK(hands.on_screen("stage-field-after"));  // what it means inside
    CHECK(target.seen().enters == 0);
    hands.move_to(to_x, to_y);
    REQUIRE(wait_for(hands, [&] { return hands.app().drag_out().accepted(); }));
    CHECK(wait_for(hands, [&] { return ImGui::GetMouseCursor() == ImGuiMouseCursor_Hand; }));
    hands.shoot("2-over-a-program");
    hands.move_to(to_x + 20, to_y + 7);
    let_go(hands);
    REQUIRE(wait_for(hands, [&] { return !target.seen().bytes.empty(); }));
    const DropSeen seen = target.seen();
    CHECK(seen.bytes == uri_of(hands, file));
    CHECK(seen.kind == "text/uri-list");
    CHECK(seen.version == 5);
    CHECK(seen.enters == 1);
    CHECK(seen.drops == 1);
    CHECK(seen.leaves == 0);
    CHECK(seen.copy_asked);
    CHECK(seen.mislaid == 0);
    CHECK(seen.x == static_cast<int>(to_x) + 20);
    CHECK(seen.y == static_cast<int>(to_y) + 7);
    CHECK(said(hands).find("Handed over later_before.jpg, as taken") == 0);
    hands.shoot("3-given");
  }
  CHECK(job_in(hands).photos.at(0).stage == PhotoStage::intake);
  CHECK(hands.app().state().pane[0].photo == shown);
  const auto kept = read_file(dir / file), taken = read_file(demo / "later-unit/later_before.jpg");
  REQUIRE(kept);
  REQUIRE(taken);
  CHECK(*kept == *taken);

  SUBCASE("a click stays a click, and the next drag is another one") {
    DropTarget target(there_x, there_y, wide, high);
    const ImVec2 at = hands.place(mine);
    hands.press_at(at.x, at.y);
    hands.move_to(at.x + 4, at.y + 3);
    CHECK_FALSE(hands.app().drag_out().under_way());
    hands.release();
    REQUIRE(hands.settle());
    CHECK(hands.app().state().pane[0].photo == job_in(hands).photos.at(0).id);
    pull(hands, reference, to_x, to_y);
    REQUIRE(wait_for(hands, [&] { return hands.app().drag_out().accepted(); }));
    let_go(hands);
    REQUIRE(wait_for(hands, [&] { return !target.seen().bytes.empty(); }));
    CHECK(target.seen().bytes.find("file://" + (hands.home() / "board").string() + "/") == 0);
    CHECK(said(hands).find("as taken") == std::string::npos);  // a board's photo was scrubbed when it came in
  }
  SUBCASE("Escape: the program is left, and letting go later means nothing") {
    DropTarget target(there_x, there_y, wide, high);
    pull(hands, reference, to_x, to_y);
    REQUIRE(wait_for(hands, [&] { return hands.app().drag_out().accepted(); }));
    hands.key(XK_Escape);
    REQUIRE(wait_for(hands, [&] { return target.seen().leaves == 1; }));
    hands.move_to(to_x + 9, to_y);
    CHECK_FALSE(hands.app().drag_out().under_way());  // this press is spent
    const ImVec2 back = hands.place(reference);  // no click there, which would show it
    hands.move_to(back.x, back.y);
    let_go(hands);
    REQUIRE(hands.settle());
    CHECK(target.seen().drops == 0);
    CHECK(target.seen().enters == 1);
    CHECK(hands.app().state().pane[0].photo == shown);
    // Inside as well: the stage under the pointer is not taken.
    pull(hands, mine, 900, 300);
    const ImVec2 field = hands.place("stage-field-after");
    hands.move_to(field.x, field.y);
    hands.key(XK_Escape);
    let_go(hands);
    REQUIRE(hands.settle());
    CHECK(job_in(hands).photos.at(0).stage == PhotoStage::intake);
  }
  SUBCASE("a target of another hand: SDL's own window, which unpacks the address by itself") {
    std::string dropped;
    const SDL_EventFilter look = [](void* into, SDL_Event* event) {
      if (event->type == SDL_DROPFILE) *static_cast<std::string*>(into) = event->drop.file;
      return 0;
    };
    SDL_AddEventWatch(look, &dropped);
    SDL_Window* window = SDL_CreateWindow("elsewhere", there_x, there_y, wide, high, 0);
    REQUIRE(window);
    pull(hands, mine, to_x, to_y);
    CHECK(wait_for(hands, [&] { return hands.app().drag_out().accepted(); }));
    let_go(hands);
    CHECK(wait_for(hands, [&] { return !dropped.empty(); }));
    CHECK(dropped == (dir / file).string());
    SDL_DelEventWatch(look, &dropped);
    SDL_DestroyWindow(window);
    REQUIRE(hands.settle());
  }
  SUBCASE("let go over the own window, it comes in no second time") {
    pull(hands, reference, to_x, to_y);
    CHECK(wait_for(hands, [&] { return ImGui::GetMouseCursor() == ImGuiMouseCursor_NotAllowed; }));
    const std::size_t photos = job_in(hands).photos.size();
    const ImVec2 pane = hands.place("photo");
    hands.move_to(pane.x, pane.y);
    hands.shoot("4-board-photo-inside");
    CHECK(hands.on_screen("dragged-out"));
    let_go(hands);
    SDL_Delay(100);
    REQUIRE(hands.settle(20));
    CHECK(job_in(hands).photos.size() == photos);
    // A job's own photo keeps what a drag means inside.
    pull(hands, mine, to_x, to_y);
    const ImVec2 field = hands.place("stage-field-after");
    hands.move_to(field.x, field.y);
    let_go(hands);
    REQUIRE(hands.settle());
    CHECK(job_in(hands).photos.at(0).stage == PhotoStage::after);
  }
  SUBCASE("a program's window over this one takes it, and the stage under it does not") {
    pull(hands, mine, 900, 300);
    const ImVec2 field = hands.place("stage-field-after");
    DropTarget target(static_cast<int>(field.x) - 40, static_cast<int>(field.y) - 20, 80, 40);
    hands.move_to(field.x, field.y);
    REQUIRE(wait_for(hands, [&] { return hands.app().drag_out().accepted(); }));
    let_go(hands);
    REQUIRE(wait_for(hands, [&] { return !target.seen().bytes.empty(); }));
    CHECK(job_in(hands).photos.at(0).stage == PhotoStage::intake);
  }
  SUBCASE("a window that takes no drops hears nothing") {
    for (const int version : {0, 2}) {  // not aware; of before version 3
      CAPTURE(version);
      DropTarget target(there_x, there_y, wide, high, {.aware = version > 0, .version = version});
      pull(hands, mine, to_x, to_y);
      CHECK(wait_for(hands, [&] { return ImGui::GetMouseCursor() == ImGuiMouseCursor_NotAllowed; }));
      let_go(hands);
      CHECK(said(hands).find("No program there takes files") == 0);
      CHECK(target.seen().enters == 0);
    }
  }
  SUBCASE("one that refuses, or would move the file away, is left") {
    for (const bool would_move : {false, true}) {
      CAPTURE(would_move);
      DropTarget target(there_x, there_y, wide, high, {.accepts = would_move, .would_move = would_move});
      pull(hands, mine, to_x, to_y);
      REQUIRE(wait_for(hands, [&] { return target.seen().positions > 0; }));
      SDL_Delay(60);
      for (int i = 0; i < 3; ++i) hands.frame();
      CHECK_FALSE(hands.app().drag_out().accepted());
      CHECK(wait_for(hands, [&] { return ImGui::GetMouseCursor() == ImGuiMouseCursor_NotAllowed; }));
      let_go(hands);
      REQUIRE(wait_for(hands, [&] { return target.seen().leaves == 1; }));
      CHECK(target.seen().drops == 0);
      CHECK(said(hands) == "The other program did not take later_before.jpg.");
    }
    // And one that looked at it and says no in the end.
    DropTarget target(there_x, there_y, wide, high, {.refuses_in_the_end = true});
    pull(hands, mine, to_x, to_y);
    let_go(hands);
    CHECK(target.seen().drops == 1);
    CHECK(said(hands) == "The other program did not take later_before.jpg.");
  }
  SUBCASE("one that is slow is sent no place before it answered the last, and the last place counts") {
    DropTarget target(there_x, there_y, wide, high, {.version = 6, .status_after_ms = 120});
    pull(hands, mine, to_x, to_y);
    for (int i = 0; i < 8; ++i) hands.move_to(to_x + static_cast<float>(6 * i), to_y), SDL_Delay(25);
    let_go(hands);
    REQUIRE(wait_for(hands, [&] { return !target.seen().bytes.empty(); }));
    CHECK(target.seen().early_positions == 0);
    CHECK(target.seen().positions > 1);
    CHECK(target.seen().x == static_cast<int>(to_x) + 42);
    CHECK(target.seen().version == 5);
  }
  SUBCASE("one that names a rectangle is sent no place in it; an older version is spoken to in its own") {
    DropTarget target(there_x, there_y, wide, high, {.version = 3, .quiet = true});
    pull(hands, mine, to_x, to_y);
    REQUIRE(wait_for(hands, [&] { return hands.app().drag_out().accepted(); }));
    const int positions = target.seen().positions;
    for (int i = 1; i < 6; ++i) hands.move_to(to_x + static_cast<float>(10 * i), to_y), SDL_Delay(25);
    CHECK(target.seen().positions == positions);
    let_go(hands);
    REQUIRE(wait_for(hands, [&] { return !target.seen().bytes.empty(); }));
    CHECK(target.seen().version == 3);
    CHECK(said(hands).find("Handed over") == 0);
  }
  SUBCASE("one that stands behind a proxy") {
    DropTarget target(there_x, there_y, wide, high, {.by_proxy = true});
    pull(hands, mine, to_x, to_y);
    REQUIRE(wait_for(hands, [&] { return hands.app().drag_out().accepted(); }));
    let_go(hands);
    REQUIRE(wait_for(hands, [&] { return !target.seen().bytes.empty(); }));
    CHECK(target.seen().mislaid == 0);
  }
  SUBCASE("one that dies under the pointer, or with the drop in its hands") {
    {
      DropTarget target(there_x, there_y, wide, high, {.dies = DropHabits::Dies::at_position});
      pull(hands, mine, to_x, to_y);
      REQUIRE(wait_for(hands, [&] { return target.seen().positions > 0; }));
      SDL_Delay(40);
      hands.move_to(to_x + 5, to_y);
      let_go(hands);
    }
    DropTarget target(there_x, there_y, wide, high, {.dies = DropHabits::Dies::at_drop});
    pull(hands, mine, to_x, to_y);
    REQUIRE(wait_for(hands, [&] { return hands.app().drag_out().accepted(); }));
    hands.release();
    CHECK(wait_for(hands, [&] { return !hands.app().drag_out().under_way(); }, 2500));  // at once, not when patience ends
    let_go(hands);
    CHECK(target.seen().drops == 1);
    CHECK(said(hands) == "The other program did not say whether it took later_before.jpg.");
  }
  SUBCASE("one that never says that it has finished, or never answers at all") {
    {
      DropTarget target(there_x, there_y, wide, high, {.finishes = false});
      pull(hands, mine, to_x, to_y);
      REQUIRE(wait_for(hands, [&] { return hands.app().drag_out().accepted(); }));
      let_go(hands);
      CHECK(target.seen().bytes == uri_of(hands, file));
      CHECK(said(hands) == "The other program did not say whether it took later_before.jpg.");
    }
    DropTarget target(there_x, there_y, wide, high, {.status_after_ms = 60000});
    pull(hands, mine, to_x, to_y);
    let_go(hands);
    CHECK(target.seen().drops == 0);
    CHECK(wait_for(hands, [&] { return target.seen().leaves == 1; }));
    CHECK(said(hands) == "The other program did not say whether it took later_before.jpg.");
  }
}

TEST_CASE("the window closed in the middle of a drag leaves the other program alone") {
  DropTarget target(there_x, there_y, wide, high);
  {
    Hands hands(1280, 720, "drag-out-closed");
    open_job(hands);
    pull(hands, place_in_roll(hands, false), to_x, to_y);
    REQUIRE(wait_for(hands, [&] { return hands.app().drag_out().accepted(); }));
  }
  let_go_of_the_button();
  for (int i = 0; i < 100 && target.seen().leaves == 0; ++i) SDL_Delay(10);
  CHECK(target.seen().leaves == 1);
  CHECK(target.seen().drops == 0);
}

TEST_CASE("the record and an export are dragged out, each file or all, and copied by a click or a key") {
  Hands hands(1280, 720, "drag-out-made");
  const fs::path dir = open_job(hands);
  hands.click("stage-Hand back");
  REQUIRE(hands.settle());
  CHECK_FALSE(hands.on_screen("record-owner-file-0"));
  hands.wheel(1130, 400, -60);
  hands.click("record-owner");
  REQUIRE(hands.settle());
  hands.wheel(1130, 400, -60);
  REQUIRE(hands.settle());
  hands.shoot("1-record");
  const std::string record = uri_of(hands, "record.pdf") + uri_of(hands, "record.html");
  DropTarget target(there_x, there_y, wide, high);
  const auto given = [&](const std::string& anchor) {
    pull(hands, anchor, to_x, to_y);
    REQUIRE(wait_for(hands, [&] { return hands.app().drag_out().accepted(); }));
    hands.shoot("2-dragged-" + anchor);
    const int drops = target.seen().drops;
    let_go(hands);
    REQUIRE(wait_for(hands, [&] { return target.seen().drops == drops + 1; }));
    return target.seen().bytes;
  };
  CHECK(given("record-owner-file-0") == uri_of(hands, "record.pdf"));
  CHECK(given("record-owner-file-all") == record);
  CHECK(said(hands) == "Handed over record.pdf and record.html.");

  const auto copied = [&] {
    REQUIRE(hands.settle());
    const auto list = clipboard_bytes("text/uri-list", {});
    return list ? *list : std::string("nothing");
  };
  hands.click("record-owner-file-1");
  CHECK(copied() == uri_of(hands, "record.html"));
  hands.key(XK_r, {XK_Control_L, XK_Shift_L});
  CHECK(copied() == record);
  hands.key(XK_f, {XK_Control_L, XK_Shift_L});
  const DeskPhoto* shown = hands.app().desk_view()->find_photo(hands.app().state().pane[0].photo);
  REQUIRE(shown);
  CHECK(copied().find(shown->path.filename().string() + "\r\n") != std::string::npos);
  CHECK(clipboard_bytes("UTF8_STRING", {}) == shown->path.string());

  hands.key(XK_e, {XK_Control_L, XK_Shift_L});
  REQUIRE(hands.settle());
  CHECK(said(hands).find("Nothing was exported yet") == 0);
  hands.key(XK_e, {XK_Control_L});
  REQUIRE(hands.settle());
  hands.click("shared");
  REQUIRE(hands.settle());
  hands.shoot("3-exported");
  CHECK(given("exported-file-0") == uri_of(hands, "shared/layer.json"));
  const std::string all = given("exported-file-all");
  CHECK(all.find(uri_of(hands, "shared/layer.json")) == 0);
  CHECK(all.find(".zip\r\n") != std::string::npos);
  hands.key(XK_e, {XK_Control_L, XK_Shift_L});
  CHECK(copied() == all);
}
