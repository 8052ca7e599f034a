// A mark cut out of its photo: what is in the cut, how large, and where the overlay lies in it.
#include <doctest/doctest.h>

#include "overlay/close_up.h"

using namespace boardlore;

namespace {

// Every pixel says where it is: red its column, green its row, modulo 256.
Raster plan(int width, int height) {
  Raster raster;
  raster.width_px = width, raster.height_px = height;
  raster.rgba.resize(static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * 4);
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      std::uint8_t* p = raster.pixel(x, y);
      p[0] = static_cast<std::uint8_t>(x), p[1] = static_cast<std::uint8_t>(y), p[2] = 0, p[3] = 255;
    }
  return raster;
}

// 10 px a mm; board y up.
PhotoMap ten_px_a_mm(int height) {
  Registration registration;
  registration.board_from_photo.rows = {0.1, 0, 0, 0, -0.1, height / 10.0, 0, 0, 1};
  return *PhotoMap::from(registration);
}

MarkTable one_part(BoardPoint at) {
  Mark mark;
  mark.id = Id{"m"}, mark.kind = MarkKind::part, mark.refdes = "C14", mark.at = at;
  mark.outline = {{-1, -0.5}, {1, -0.5}, {1, 0.5}, {-1, 0.5}};
  MarkTable marks;
  return marks.with(std::make_shared<const Mark>(mark));
}

}  // namespace

TEST_CASE("a close-up is the photo around the mark, enlarged by whole pixels, with the mark's outline over it") {
  const Raster photo = plan(240, 200);
  const MarkTable marks = one_part({12, 10});
  const BoardShapes shapes = shapes_of(marks, Side::top);
  const MarkPtr mark = marks.find(Id{"m"});
  const Result<Raster> cut = close_up(photo, ten_px_a_mm(200), shapes, *mark);
  REQUIRE(bool(cut));
  // Around (120, 100): half of 2 mm and 4 mm of margin are 50 px a side; 100 px are made 300 by three.
  CHECK(cut->width_px == 300);
  CHECK(cut->height_px == 300);
  CHECK(cut->pixel(0, 0)[0] == 70);
  CHECK(cut->pixel(0, 0)[1] == 50);
  CHECK(cut->pixel(299, 299)[0] == 169);
  CHECK(cut->pixel(299, 299)[1] == 149);
  // Something is drawn where the outline runs, and nothing in the far corner.
  int changed_at_outline = 0;
  for (int x = 120; x < 180; ++x)
    for (int y = 158; y < 172; ++y) changed_at_outline += cut->pixel(x, y)[2] != 0;
  CHECK(changed_at_outline > 60);
  CHECK(cut->pixel(10, 10)[2] == 0);
}

TEST_CASE("at the photo's edge the cut ends with it; beside the photo there is none") {
  const Raster photo = plan(240, 200);
  const MarkTable at_edge = one_part({0.5, 10}), beside = one_part({40, 10});
  const Result<Raster> cut = close_up(photo, ten_px_a_mm(200), shapes_of(at_edge, Side::top), *at_edge.find(Id{"m"}));
  REQUIRE(bool(cut));
  CHECK(cut->pixel(0, 0)[0] == 0);
  CHECK(cut->width_px < cut->height_px);
  const Result<Raster> none = close_up(photo, ten_px_a_mm(200), shapes_of(beside, Side::top), *beside.find(Id{"m"}));
  REQUIRE(!none);
  CHECK(none.problem().where == "C14");
}
