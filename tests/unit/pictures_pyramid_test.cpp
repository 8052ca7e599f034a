#include <doctest/doctest.h>

#include <cmath>
#include <set>

#include "pictures/pyramid.h"
#include "pictures_made_for_tests.h"

using namespace boardlore;
using namespace boardlore::made;

TEST_CASE("levels halve down to one tile, sides rounded up") {
  const auto pyramid = TilePyramid::build(gradient(2051, 1030));
  REQUIRE(pyramid);
  const TilePyramid& p = **pyramid;
  REQUIRE(p.levels() == 4);
  const int sizes[][2] = {{2051, 1030}, {1026, 515}, {513, 258}, {257, 129}};
  for (int level = 0; level < 4; ++level) {
    CHECK(p.level(level).width_px == sizes[level][0]);
    CHECK(p.level(level).height_px == sizes[level][1]);
    CHECK(largest_difference(p.level(level), gradient(sizes[level][0], sizes[level][1])) <= 2);
  }
  CHECK(p.columns(0) == 5);
  CHECK(p.rows(0) == 3);
}

TEST_CASE("a halved picture is the mean of two by two") {
  Raster raster{3, 3, std::vector<std::uint8_t>(36, 255)};
  const int reds[3][3] = {{10, 20, 100}, {30, 40, 200}, {50, 70, 9}};
  for (int y = 0; y < 3; ++y)
    for (int x = 0; x < 3; ++x) raster.pixel(x, y)[0] = static_cast<std::uint8_t>(reds[y][x]);
  const Raster half = halved(raster);
  REQUIRE(half.width_px == 2);
  REQUIRE(half.height_px == 2);
  CHECK(half.pixel(0, 0)[0] == 25);
  CHECK(half.pixel(1, 0)[0] == 150);
  CHECK(half.pixel(0, 1)[0] == 60);
  CHECK(half.pixel(1, 1)[0] == 9);
}

TEST_CASE("the tiles of a level are the level, each pixel once") {
  const auto pyramid = *TilePyramid::build(gradient(1300, 700));
  for (int level = 0; level < pyramid->levels(); ++level) {
    const Raster& raster = pyramid->level(level);
    Raster joined{raster.width_px, raster.height_px, std::vector<std::uint8_t>(raster.rgba.size())};
    std::size_t pixels = 0;
    for (int row = 0; row < pyramid->rows(level); ++row)
      for (int column = 0; column < pyramid->columns(level); ++column) {
        const auto tile = pyramid->tile(level, column, row);
        REQUIRE(tile);
        CHECK(tile->width_px <= kTileSidePx);
        pixels += static_cast<std::size_t>(tile->width_px * tile->height_px);
        for (int y = 0; y < tile->height_px; ++y)
          std::memcpy(joined.pixel(column * kTileSidePx, row * kTileSidePx + y),
                      tile->rgba + static_cast<std::size_t>(y) * tile->stride_bytes,
                      4 * static_cast<std::size_t>(tile->width_px));
      }
    CHECK(joined == raster);
    CHECK(4 * pixels == raster.rgba.size());
  }
  CHECK_FALSE(pyramid->tile(0, 3, 0));
  CHECK_FALSE(pyramid->tile(0, -1, 0));
  CHECK_FALSE(pyramid->tile(pyramid->levels(), 0, 0));
}

TEST_CASE("visible tiles are those that touch the rectangle, no other") {
  const auto pyramid = *TilePyramid::build(gradient(2100, 1500));
  const double rects[][4] = {{0, 0, 2100, 1500}, {100, 100, 101, 101}, {511.5, 0, 512.5, 10},  {512, 512, 1024, 1024},
                             {-50, -50, 1, 1},   {2099, 1499, 9e9, 9e9}, {1023.9, 600, 1024, 601}};
  for (const auto& r : rects)
    for (int level = 0; level < pyramid->levels(); ++level) {
      std::set<TileIndex> expected;
      for (int row = 0; row < pyramid->rows(level); ++row)
        for (int column = 0; column < pyramid->columns(level); ++column) {
          const PixelRect px = pyramid->tile(level, column, row)->photo_px;
          if (px.left < r[2] && px.right > r[0] && px.top < r[3] && px.bottom > r[1]) expected.insert({level, column, row});
        }
      const auto visible = pyramid->visible_tiles(level, r[0], r[1], r[2], r[3]);
      CHECK(std::set<TileIndex>(visible.begin(), visible.end()) == expected);
      CHECK(visible.size() == expected.size());
    }
  CHECK(pyramid->visible_tiles(0, 3000, 0, 4000, 10).empty());
  CHECK(pyramid->visible_tiles(0, 10, 10, 10, 20).empty());
  CHECK(pyramid->visible_tiles(0, std::nan(""), 0, 1, 1).empty());
  CHECK(pyramid->visible_tiles(99, 0, 0, 1, 1).empty());
}

TEST_CASE("the level that fits a zoom has a pixel or more for each on the screen") {
  const auto pyramid = *TilePyramid::build(gradient(4000, 3000));
  REQUIRE(pyramid->levels() == 4);
  const std::pair<double, int> rows[] = {{8, 0}, {1, 0}, {0.51, 0}, {0.5, 1}, {0.3, 1}, {0.25, 2}, {0.01, 3}, {0, 3}, {-1, 3}};
  for (const auto& [zoom, level] : rows) CHECK(pyramid->level_for(zoom) == level);
}

TEST_CASE("building can be stopped, tells how far it is, and refuses what is no picture") {
  std::stop_source stop;
  stop.request_stop();
  CHECK(TilePyramid::build(gradient(1500, 1500), {}, stop.get_token()).problem().found == kStopped);
  std::vector<double> told;
  REQUIRE(TilePyramid::build(gradient(1500, 1500), [&](double fraction) { told.push_back(fraction); }));
  CHECK(std::is_sorted(told.begin(), told.end()));
  CHECK(told.back() == 1);
  CHECK_FALSE(TilePyramid::build(Raster{}));
  CHECK_FALSE(TilePyramid::build(Raster{10, 10, std::vector<std::uint8_t>(399)}));
  CHECK((*TilePyramid::build(gradient(1, 1)))->levels() == 1);
}
