#include <doctest/doctest.h>

#include "alignment/board_map.h"
#include "made_board.h"

using namespace boardlore;

namespace {

// A camera above the board, somewhat tilted; mirrored: it sees the bottom.
BoardMap tilted_camera(bool mirrored, double k1) {
  BoardMap map;
  const double m = mirrored ? -1 : 1;
  map.photo_from_board.rows = {m * 19.0, 1.5, mirrored ? 1900.0 : 310.0, m * 0.8, -18.5, 1150, m * 1.1e-4, 2.2e-4, 1};
  map.board_from_photo = *map.photo_from_board.inverse();
  if (k1 != 0) map.lens = LensTerm{k1, 1000, 700, std::hypot(1000, 700)};
  return map;
}

std::vector<Correspondence> points_of(const BoardMap& map, double noise_px, int wrong, unsigned seed) {
  made::Dice dice(seed);
  std::vector<Correspondence> points;
  for (int i = 0; i < 20; ++i)
    for (int j = 0; j < 12; ++j) {
      const BoardPoint board{4.0 * i + dice.between(0, 3), 4.0 * j + dice.between(0, 3)};
      const auto seen = map.photo(board);
      if (!seen) continue;
      points.push_back({{seen->x_px + noise_px * dice.between(-1, 1), seen->y_px + noise_px * dice.between(-1, 1)}, board});
    }
  for (int i = 0; i < wrong; ++i) {  // tops of tall parts: all off in one direction, and some anywhere
    Correspondence& c = points[static_cast<std::size_t>(dice.below(static_cast<int>(points.size())))];
    c.photo.x_px += i % 3 ? 6 + dice.between(0, 5) : dice.between(-80, 80);
  }
  return points;
}

double worst_px(const BoardMap& found, const BoardMap& truth) {
  double worst = 0;
  for (int i = 0; i <= 8; ++i)
    for (int j = 0; j <= 5; ++j) {
      const BoardPoint at{10.0 * i, 10.0 * j};
      worst = std::max(worst, distance_px(*found.photo(at), *truth.photo(at)));
    }
  return worst;
}

}  // namespace

TEST_CASE("the board's plane is found though a third of the points sit on tall parts") {
  for (const bool mirrored : {false, true}) {
    const BoardMap truth = tilted_camera(mirrored, 0);
    const auto fit = fit_board_map(points_of(truth, 0.2, 80, 3), {2000, 1400});
    REQUIRE(fit);
    CHECK(worst_px(fit->map, truth) < 0.15);
    CHECK(fit->fit_count >= 150);
    CHECK_FALSE(fit->map.lens);
    CHECK(fit->rms_mm < 0.02);
    REQUIRE(fit->leave_out_mm);
    CHECK(*fit->leave_out_mm >= 0.9 * fit->rms_mm);  // an honest figure is not below what was fitted to
  }
}

TEST_CASE("a lens term is found where there is one") {
  for (const double k1 : {-0.12, -0.02, 0.06}) {
    const BoardMap truth = tilted_camera(false, k1);
    const auto fit = fit_board_map(points_of(truth, 0.2, 40, 5), {2000, 1400});
    REQUIRE(fit);
    REQUIRE(fit->map.lens);
    CHECK(fit->map.lens->k1 == doctest::Approx(k1).epsilon(0.05));
    CHECK(worst_px(fit->map, truth) < 0.4);
  }
}

TEST_CASE("no lens term is claimed from a patch in the picture's middle") {
  const BoardMap truth = tilted_camera(false, -0.05);
  std::vector<Correspondence> middle;
  for (const Correspondence& c : points_of(truth, 0.3, 0, 9))
    if (distance_px(c.photo, {1000, 700}) < 350) middle.push_back(c);
  const auto fit = fit_board_map(middle, {2000, 1400});
  REQUIRE(fit);
  CHECK_FALSE(fit->map.lens);
}

TEST_CASE("points without a common map are refused") {
  made::Dice dice(1);
  std::vector<Correspondence> noise;
  for (int i = 0; i < 60; ++i)
    noise.push_back({{dice.between(0, 2000), dice.between(0, 1400)}, {dice.between(0, 80), dice.between(0, 50)}});
  const auto fit = fit_board_map(noise, {2000, 1400});
  CHECK((!fit || fit->fit_count < 12));
  std::vector<Correspondence> line;
  for (int i = 0; i < 30; ++i) line.push_back({{100.0 + 20 * i, 300.0 + 10 * i}, {2.0 * i, 1.0 * i}});
  const auto on_line = fit_board_map(line, {2000, 1400});
  CHECK((!on_line || !std::isfinite(on_line->rms_mm) || on_line->fit_count < 6 || !on_line->map.lens));
}
