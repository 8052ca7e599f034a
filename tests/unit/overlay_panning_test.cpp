// Names on a dense board, from the marks of a view to the placed labels, while the view is panned.
#include <doctest/doctest.h>

#include <cstdio>
#include <map>

#include "overlay/label_layout.h"
#include "overlay/overlay_scene.h"

using namespace boardlore;

namespace {

constexpr double width = 1200, height = 800;

TextSize measure(const std::string& text) { return {8.0 * static_cast<double>(text.size()), 14}; }

BoardShapes dense_board() {
  std::vector<MarkPtr> marks;
  for (int i = 0; i < 20'000; ++i) {
    Mark mark;
    char id[40];
    std::snprintf(id, sizeof id, "00000000-0000-7000-8000-%012x", i + 1);
    mark.id = Id{id}, mark.kind = MarkKind::part, mark.refdes = "C" + std::to_string(i);
    mark.at = {1.5 * (i % 200), 1.5 * (i / 200)};
    const double half = i % 97 == 0 ? 3 : 0.5;  // a large part here and there, whose name comes first
    mark.outline = {{-half, -0.4}, {half, -0.4}, {half, 0.4}, {-half, 0.4}};
    marks.push_back(std::make_shared<const Mark>(mark));
  }
  return shapes_of(MarkTable(std::move(marks)), Side::top);
}

// 300 mm x 150 mm at 20 photo pixels a mm, seen square on.
PhotoMap square_on() {
  Registration registration;
  registration.board_from_photo.rows = {0.05, 0, 0, 0, -0.05, 150, 0, 0, 1};
  registration.px_per_mm = 20;
  return *PhotoMap::from(registration);
}

// What a frame does: the marks in view, then the layout. Placed labels by text, with their boxes.
std::map<std::string, PlacedLabel> frame(const BoardShapes& shapes, const PhotoMap& map, PhotoPoint centre, double zoom, LabelMemory& memory,
                                         std::optional<PhotoPoint> cursor = {}) {
  const ScreenFromPhoto screen = screen_from_photo(zoom, 0, false, centre, {width / 2, height / 2});
  OverlayOptions options;
  options.zoom = zoom, options.cursor = cursor;
  const PhotoPoint first = screen.photo_from_screen({0, 0}), last = screen.photo_from_screen({width, height});
  options.visible = PhotoRect{first.x_px, first.y_px, last.x_px, last.y_px};
  const OverlayScene scene = overlay_scene(shapes, map, options);
  std::map<std::string, PlacedLabel> placed;
  for (const PlacedLabel& label : place_labels(scene.labels, screen, measure, &memory)) placed[scene.labels[label.label_index].text] = label;
  return placed;
}

bool well_inside(const PlacedLabel& label, double margin_px) {
  return label.top_left.x > margin_px && label.top_left.y > margin_px && label.top_left.x + label.size.width < width - margin_px &&
         label.top_left.y + label.size.height < height - margin_px;
}

}  // namespace

TEST_CASE("no two names overlap on a board of 20,000 marks, near or far") {
  const BoardShapes shapes = dense_board();
  const PhotoMap map = square_on();
  for (const double zoom : {0.2, 0.6, 1.0, 2.0}) {
    LabelMemory memory;
    const auto placed = frame(shapes, map, {3000, 1500}, zoom, memory);
    CHECK(placed.size() > 20);
    for (auto a = placed.begin(); a != placed.end(); ++a)
      for (auto b = std::next(a); b != placed.end(); ++b) {
        const PlacedLabel &x = a->second, &y = b->second;
        REQUIRE((x.top_left.x + x.size.width <= y.top_left.x || y.top_left.x + y.size.width <= x.top_left.x ||
                 x.top_left.y + x.size.height <= y.top_left.y || y.top_left.y + y.size.height <= x.top_left.y));
      }
  }
}

TEST_CASE("while the view is panned the same names stay, away from its edge") {
  const BoardShapes shapes = dense_board();
  const PhotoMap map = square_on();
  for (const double zoom : {0.6, 1.0, 2.0}) {
    CAPTURE(zoom);
    LabelMemory memory;
    auto before = frame(shapes, map, {2500, 1500}, zoom, memory);
    int looked = 0;
    for (int step = 1; step <= 40; ++step) {
      const double moved = 7 * step / zoom;  // photo pixels
      const auto after = frame(shapes, map, {2500 + moved, 1500 + moved / 3}, zoom, memory);
      // A name goes only with its mark; one appears only where the edge made room.
      for (const auto& entry : before) {
        const auto& name = entry.first;
        const auto& label = entry.second;
        if (well_inside(label, 30) && ++looked) {
          CAPTURE(name);
          REQUIRE(after.contains(name));
          CHECK(after.at(name).top_left.x == doctest::Approx(label.top_left.x - 7));
        }
      }
      for (const auto& [name, label] : after)
        if (well_inside(label, 150)) REQUIRE(before.contains(name));
      before = after;
    }
    CHECK(looked > 500);
  }
}

TEST_CASE("the name nearest the cursor is drawn, whatever stood there, and the others stay where they do not collide") {
  const BoardShapes shapes = dense_board();
  const PhotoMap map = square_on();
  for (const double zoom : {0.6, 1.0, 2.0}) {
    CAPTURE(zoom);
    LabelMemory memory;
    const auto before = frame(shapes, map, {2500, 1500}, zoom, memory);
    int was_hidden = 0;
    for (int part = 0; part < 8; ++part) {
      const BoardPoint at{1.5 * (79 + part), 1.5 * (46 + part)};
      const std::string name = "C" + std::to_string((46 + part) * 200 + 79 + part);
      const auto cursor = map.photo_from({at.x_mm + 0.1, at.y_mm - 0.1});
      REQUIRE(cursor);
      LabelMemory here = memory;
      const auto after = frame(shapes, map, {2500, 1500}, zoom, here, cursor);
      CAPTURE(name);
      CHECK(after.contains(name));
      was_hidden += before.contains(name) ? 0 : 1;
      // One name pushes aside no more than its few neighbours.
      std::size_t gone = 0;
      for (const auto& entry : before) gone += after.contains(entry.first) ? 0 : 1;
      CHECK(gone <= 8);
    }
    if (zoom < 1) CHECK(was_hidden > 2);
  }
}
