// What the window shows and how it looks at a photo, without a window.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "bench/camera.h"
#include "bench/command_table.h"
#include "bench/fiducials_view.h"
#include "bench/input.h"
#include "bench/shaping.h"
#include "bench/side_by_side.h"
#include "bench/stage_line.h"
#include "bench/worklist.h"
#include "geometry/outline.h"
#include "overlay/colours.h"

using namespace boardlore;

namespace {

Mark part(const std::string& id, const std::string& refdes) {
  Mark mark;
  mark.id = Id{id};
  mark.kind = MarkKind::part;
  mark.refdes = refdes;
  return mark;
}

DeskView desk_with(std::vector<Mark> marks) {
  auto layer = std::make_shared<Layer>();
  for (Mark& mark : marks) layer->marks = layer->marks.with(std::make_shared<const Mark>(std::move(mark)));
  DeskView desk;
  desk.open = true;
  desk.snapshot.layer = std::move(layer);
  return desk;
}

SDL_Event key_event(Uint32 type, SDL_Scancode code, Uint16 mod = 0) {
  SDL_Event event{};
  event.type = type;
  event.key.keysym.scancode = code;
  event.key.keysym.mod = mod;
  return event;
}

double contrast(ImU32 one, ImU32 other) {
  const auto colour = [](ImU32 c) {
    return Colour{static_cast<std::uint8_t>(c >> IM_COL32_R_SHIFT), static_cast<std::uint8_t>(c >> IM_COL32_G_SHIFT),
                  static_cast<std::uint8_t>(c >> IM_COL32_B_SHIFT)};
  };
  return contrast_ratio(colour(one), colour(other));
}

}  // namespace

TEST_CASE("zooming keeps what lies under the cursor") {
  Camera camera{{700, 420}, 0.4, 0.7, true};
  const ImVec2 middle(500, 300), cursor(130, 510);
  const PhotoPoint before = screen_from_photo(camera, middle).photo_from_screen({cursor.x, cursor.y});
  zoom_about(camera, middle, cursor, 3.7);
  const PhotoPoint after = screen_from_photo(camera, middle).photo_from_screen({cursor.x, cursor.y});
  CHECK(distance_px(before, after) < 1e-6);
  CHECK(camera.zoom == doctest::Approx(0.4 * 3.7));
  zoom_about(camera, middle, cursor, 1e9);
  CHECK(camera.zoom == max_zoom);
}

TEST_CASE("a fitted photo lies whole in the pane, whichever way it is turned") {
  for (const int quarters : {0, 1, 2, 3}) {
    Camera camera;
    turn_quarter(camera, quarters);
    fit(camera, 4000, 3000, ImVec2(800, 500), 16);
    const ScreenFromPhoto map = screen_from_photo(camera, ImVec2(400, 250));
    for (const PhotoPoint corner : {PhotoPoint{0, 0}, {4000, 0}, {4000, 3000}, {0, 3000}}) {
      const ScreenPoint at = map(corner);
      CHECK(at.x >= 15.9);
      CHECK(at.x <= 784.1);
      CHECK(at.y >= 15.9);
      CHECK(at.y <= 484.1);
    }
  }
}

TEST_CASE("panning moves the photo with the hand") {
  Camera camera{{100, 100}, 2, 1.1, true};
  const ImVec2 middle(300, 200);
  const ScreenPoint before = screen_from_photo(camera, middle)({150, 80});
  pan_by(camera, ImVec2(17, -9));
  const ScreenPoint after = screen_from_photo(camera, middle)({150, 80});
  CHECK(after.x - before.x == doctest::Approx(17));
  CHECK(after.y - before.y == doctest::Approx(-9));
}

TEST_CASE("a scale bar has a round length and fits") {
  const struct {
    double px_per_mm, longest_px;
    const char* words;
  } rows[] = {{10, 160, "10 mm"}, {100, 160, "1 mm"}, {1, 160, "100 mm"}, {400, 160, "200 µm"}, {30, 160, "5 mm"}};
  for (const auto& row : rows) {
    const ScaleBar bar = scale_bar(row.px_per_mm, row.longest_px);
    CHECK(bar.words == row.words);
    CHECK(bar.length_px <= row.longest_px + 1e-9);
    CHECK(bar.length_px > row.longest_px / 2.6);
  }
  CHECK(scale_bar(0, 160).length_px == 0);
  CHECK(scale_bar(std::nan(""), 160).length_px == 0);
}

TEST_CASE("three corners make a part where they were clicked") {
  // By hand: a 6 mm x 4 mm body turned 30 degrees about (10, 20).
  const double a = std::numbers::pi / 6;
  const auto at = [&](double x, double y) { return BoardPoint{10 + x * std::cos(a) - y * std::sin(a), 20 + x * std::sin(a) + y * std::cos(a)}; };
  const auto mark = part_from_corners(at(-3, -2), at(3, -2), at(2.5, 2));
  REQUIRE(mark);
  CHECK(distance_mm(mark->at, {10, 20}) < 0.002);
  CHECK(mark->rotation_deg == doctest::Approx(30));
  for (const BoardPoint corner : {at(-3, -2), at(3, -2), at(3, 2), at(-3, 2)}) {
    double nearest = 1e9;
    for (const BoardPoint p : outline_of(*mark)) nearest = std::fmin(nearest, distance_mm(p, corner));
    CHECK(nearest < 0.003);
  }
  // A shaky hand along an axis is straightened, corners on one line make nothing.
  CHECK(part_from_corners({0, 0}, {10, 0.1}, {10, 5})->rotation_deg == 0);
  CHECK_FALSE(part_from_corners({0, 0}, {10, 0}, {5, 0}));
  CHECK_FALSE(part_from_corners({0, 0}, {0, 0}, {5, 5}));
}

TEST_CASE("a point given relative to a turned mark comes back to its place") {
  Mark mark = part("a", "U1");
  mark.at = {12, 34};
  mark.rotation_deg = 217;
  const BoardPoint point{13.5, 30.25};
  CHECK(distance_mm(placed(mark, offset_of(mark, point)), point) < 0.002);
}

TEST_CASE("designators count on past those that are taken") {
  const DeskView desk = desk_with({part("a", "C1"), part("b", "C2"), part("c", "C4")});
  CHECK(counted_on(*desk.snapshot.layer, "C1") == "C3");
  CHECK(counted_on(*desk.snapshot.layer, "C3") == "C5");
  CHECK(counted_on(*desk.snapshot.layer, "") == "");
}

TEST_CASE("the worklist counts C2 before C10, narrows by words, and flags what is there twice") {
  Mark twice = part("d", "c2");
  twice.side = Side::bottom;
  Mark valued = part("c", "R7");
  valued.value = "10k";
  const DeskView desk = desk_with({part("a", "C10"), part("b", "C2"), valued, twice});
  const auto rows = worklist_rows(desk, Stage::find, "");
  REQUIRE(rows.size() == 4);
  CHECK(rows[0].name == "C2");
  CHECK(rows[0].duplicate);
  CHECK(rows[1].name == "C10");
  CHECK_FALSE(rows[1].duplicate);
  CHECK(worklist_rows(desk, Stage::find, "10K").size() == 1);
  CHECK(worklist_rows(desk, Stage::find, "c part").size() == 3);
  CHECK(search_hit(worklist_rows(desk, Stage::find, "c1"), "c10") == Id{"a"});
  CHECK(search_hit({}, "x").empty());
}

TEST_CASE("the stage line counts what is open and stops counting what is done") {
  DeskView desk = desk_with({});
  auto job = std::make_shared<Job>();
  desk.snapshot.job = job;
  auto rows = stage_rows(desk);
  CHECK(rows[static_cast<std::size_t>(Stage::intake)].open == 4);
  CHECK(rows[static_cast<std::size_t>(Stage::hand_back)].open == 1);
  job->reported = "dead", job->unit.serial = "1", job->unit.condition = "dusty";
  Photo photo;
  photo.file = "photos/a.jpg";
  job->photos.push_back(photo);
  rows = stage_rows(desk);
  CHECK(rows[static_cast<std::size_t>(Stage::intake)].open == 0);
  CHECK(rows[static_cast<std::size_t>(Stage::find)].open == 1);
  desk.snapshot.job = nullptr;
  for (const StageRow& row : stage_rows(desk)) CHECK(row.open == 0);
}

TEST_CASE("the corners to click go round as each side is seen") {
  DeskView desk = desk_with({});
  auto layer = std::make_shared<Layer>(*desk.snapshot.layer);
  layer->board.width_mm = 60, layer->board.height_mm = 40;
  desk.snapshot.layer = layer;
  Photo photo;
  photo.side = Side::top;
  auto wanted = wanted_fiducials(desk, photo);
  REQUIRE(wanted.size() == 4);
  CHECK(wanted[0].board == BoardPoint{0, 40});
  // The bottom is seen mirrored left to right: its upper left corner is the top's upper right one.
  photo.side = Side::bottom;
  wanted = wanted_fiducials(desk, photo);
  CHECK(wanted[0].board == BoardPoint{60, 40});
  // A registered photo of the same side is better than corners.
  DeskPhoto reference;
  reference.photo.id = Id{"r"};
  reference.photo.side = Side::bottom;
  reference.reference = true;
  reference.photo.registration = Registration{};
  reference.photo.registration->fiducials = {{{10, 10}, {1, 1}, "hole", {}}, {{20, 10}, {2, 1}, "", {}}};
  desk.photos.push_back(reference);
  wanted = wanted_fiducials(desk, photo);
  REQUIRE(wanted.size() == 2);
  CHECK(wanted[0].reference == Id{"r"});
  CHECK(wanted[0].name == "hole");
}

TEST_CASE("every key does one thing") {
  for (const CommandRow& a : command_table())
    for (const CommandRow& b : command_table())
      if (&a != &b) {
        CHECK_MESSAGE(!(a.key == b.key && a.ctrl == b.ctrl && a.shift == b.shift), a.words << " and " << b.words);
        CHECK(a.command != b.command);
      }
}

TEST_CASE("a press and release between two frames are two frames' work") {
  ImGuiIO io;
  InputQueue input;
  input.add(key_event(SDL_KEYDOWN, SDL_SCANCODE_Z, KMOD_LCTRL));
  input.add(key_event(SDL_KEYUP, SDL_SCANCODE_Z, KMOD_LCTRL));
  input.feed(io);
  CHECK(io.KeysDown[SDL_SCANCODE_Z]);
  CHECK(io.KeyCtrl);
  input.feed(io);
  CHECK_FALSE(io.KeysDown[SDL_SCANCODE_Z]);
  CHECK(input.empty());
}

TEST_CASE("text stands at 4.5 to 1 against its ground in both themes") {
  // Source: WCAG 2.1, success criterion 1.4.3, with relative luminance as defined there (overlay/colours.h).
  for (const ThemeName name : {ThemeName::dark, ThemeName::light}) {
    const Theme t = make_theme(name, 1);
    for (const ImU32 ground : {t.panel, t.raised})
      for (const ImU32 ink : {t.text, t.quiet, t.good, t.bad, t.doubtful}) CHECK(contrast(ink, ground) >= 4.5);
    CHECK(contrast(t.on_strong, t.strong) >= 4.5);
    // Source: criterion 1.4.11, shapes that carry meaning: 3 to 1.
    for (const MarkKind kind : {MarkKind::part, MarkKind::pin1, MarkKind::keepout, MarkKind::probe, MarkKind::note})
      CHECK(contrast(t.kind(kind), t.panel) >= 3);
  }
}
