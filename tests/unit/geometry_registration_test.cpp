#include <doctest/doctest.h>

#include <random>

#include "geometry/photo_map.h"
#include "geometry/registration_fit.h"

using namespace boardlore;

namespace {

// A slanted photo of a 100 mm x 60 mm board, from the top: photo y down, board y up.
const BoardFromPhoto slanted{{0.031, 0.0012, -6, 0.0009, -0.0305, 66, 6e-6, -8e-6, 1}};

Fiducial seen(BoardPoint board, const BoardFromPhoto& map = slanted) { return {*(*map.inverse())(board), board, "", {}}; }

std::vector<Fiducial> grid(const BoardFromPhoto& map = slanted) {
  std::vector<Fiducial> all;
  for (const double y : {4.0, 30.0, 56.0})
    for (const double x : {4.0, 50.0, 96.0}) all.push_back(seen({x, y}, map));
  return all;
}

BoardFromPhoto turned_over(const BoardFromPhoto& map) {
  return Homography<BoardPoint, BoardPoint>{{-1, 0, 100, 0, 1, 0, 0, 0, 1}} * map;
}

std::string refusal(const std::vector<Fiducial>& fiducials, Side side) {
  const auto report = fit_registration(fiducials, side);
  return report ? "" : to_text(report.problem());
}

}  // namespace

TEST_CASE("exact points give the map back, from either side, whatever their order") {
  for (const Side side : {Side::top, Side::bottom}) {
    auto points = grid(side == Side::top ? slanted : turned_over(slanted));
    std::reverse(points.begin(), points.end());
    const auto report = fit_registration(points, side);
    REQUIRE(report);
    CHECK(report->registration.model == MapModel::homography);
    CHECK(report->registration.mirrored == (side == Side::bottom));
    CHECK(report->registration.rms_mm < 1e-10);
    CHECK(*report->registration.leave_one_out_mm < 1e-9);
    CHECK_FALSE(report->spoiler_index);
    CHECK(report->notes.empty());
  }
}

TEST_CASE("the number of points decides the model, and the report says so") {
  auto points = std::vector<Fiducial>{seen({4, 4}), seen({96, 4}), seen({50, 56})};
  auto three = fit_registration(points, Side::top);
  REQUIRE(three);
  CHECK(three->registration.model == MapModel::affine);
  CHECK(three->registration.rms_mm < 1e-10);
  CHECK(three->notes.front().find("affine map from 3 places") == 0);
  points.pop_back();
  auto two = fit_registration(points, Side::top);
  REQUIRE(two);
  CHECK(two->registration.model == MapModel::similarity);
  CHECK(two->notes.front().find("similarity from 2 places") == 0);
  points.push_back(points.front());  // the same place twice is still one place
  points.back().photo.x_px += 1;
  auto twice = fit_registration(points, Side::top);
  REQUIRE(twice);
  CHECK(twice->registration.model == MapModel::similarity);
  CHECK(twice->registration.rms_mm > 0);
}

TEST_CASE("sets that cannot carry a map are refused, with the reason") {
  CHECK(refusal({}, Side::top).find("2 points or more") != std::string::npos);
  CHECK(refusal({seen({4, 4})}, Side::top).find("found 1") != std::string::npos);
  CHECK(refusal({seen({4, 4}), seen({4, 4})}, Side::top).find("one spot") != std::string::npos);
  CHECK(refusal({seen({4, 4}), seen({30, 20}), seen({56, 36})}, Side::top).find("on one line") != std::string::npos);
  CHECK(refusal({seen({4, 4}), seen({30, 20}), seen({56, 36}), seen({82, 52}), seen({17, 12})}, Side::top).find("on one line") !=
        std::string::npos);
  CHECK(refusal({seen({4, 4}), seen({50, 4}), seen({96, 4}), seen({50, 56})}, Side::top).find("points 1, 2, 3") != std::string::npos);
  // Five points, four of them on a line, leave the map open too.
  CHECK(refusal({seen({4, 4}), seen({30, 4}), seen({60, 4}), seen({96, 4}), seen({50, 56})}, Side::top).find("open") != std::string::npos);
  auto same_spot = grid();
  same_spot[3].photo = same_spot[4].photo;
  CHECK(refusal(same_spot, Side::top).find("points 4 and 5") != std::string::npos);
  auto not_finite = grid();
  not_finite[2].board.y_mm = std::nan("");
  CHECK(refusal(not_finite, Side::top).find("point 3") != std::string::npos);
  CHECK(refusal(grid(), Side::bottom).find("these points show the board from the other side") != std::string::npos);
  CHECK(refusal({seen({4, 4}), seen({96, 4}), seen({50, 56})}, Side::bottom).find("other side") != std::string::npos);
}

TEST_CASE("nobody is accused on clean data") {
  // The test of a spoiler is set to one false alarm in a hundred photos, before the 2 px floor is asked.
  std::mt19937 random(7);
  std::normal_distribution<double> pick(0, 1.5);
  int accused = 0;
  for (int photo = 0; photo < 500; ++photo) {
    auto points = grid();
    for (Fiducial& f : points) f.photo.x_px += pick(random), f.photo.y_px += pick(random);
    const auto report = fit_registration(points, Side::top);
    REQUIRE(report);
    accused += report->spoiler_index ? 1 : 0;
  }
  CHECK(accused <= 10);
}

TEST_CASE("one bad pick of 20 px is found wherever it is") {
  std::mt19937 random(8);
  std::normal_distribution<double> pick(0, 1.0);
  int found = 0, wrong = 0;
  for (int photo = 0; photo < 180; ++photo) {
    auto points = grid();
    for (Fiducial& f : points) f.photo.x_px += pick(random), f.photo.y_px += pick(random);
    const auto bad = static_cast<std::size_t>(photo) % points.size();
    points[bad].photo.x_px += 20;
    const auto report = fit_registration(points, Side::top);
    REQUIRE(report);
    if (report->spoiler_index) (*report->spoiler_index == bad ? found : wrong) += 1;
  }
  CHECK(found >= 150);
  CHECK(wrong <= 1);
}

TEST_CASE("there and back again, with a lens and without, from either side") {
  for (const bool bottom : {false, true})
    for (const double k1 : {0.0, -0.08, 0.05}) {
      Registration r;
      r.board_from_photo = bottom ? turned_over(slanted) : slanted;
      r.mirrored = bottom;
      r.px_per_mm = 33;
      if (k1 != 0) r.lens = LensTerm{k1, 1700, 1100, 2025};
      const auto map = PhotoMap::from(r);
      REQUIRE(map);
      for (const BoardPoint board : {BoardPoint{0, 0}, BoardPoint{100, 60}, BoardPoint{37.5, 12.25}}) {
        const auto photo = map->photo_from(board);
        REQUIRE(photo);
        const auto back = map->board_from(*photo);
        REQUIRE(back);
        CHECK(distance_mm(*back, board) < 1e-9);
      }
    }
}

TEST_CASE("a point beyond the horizon has no place") {
  Registration r;
  r.board_from_photo = BoardFromPhoto{{0.03, 0, 0, 0, -0.03, 60, 0, -4e-4, 1}};  // horizon at y = 2500 px
  const auto map = PhotoMap::from(r);
  REQUIRE(map);
  CHECK(map->board_from({100, 2400}));
  CHECK_FALSE(map->board_from({100, 2600}));
  r.board_from_photo = BoardFromPhoto{{1, 2, 3, 2, 4, 6, 0, 0, 1}};
  CHECK_FALSE(PhotoMap::from(r));
}

TEST_CASE("how the board is turned in the photo is told clockwise on the screen") {
  const double right_angle = std::acos(0.0);
  Registration upright;
  upright.board_from_photo = BoardFromPhoto{{0.02, 0, 0, 0, -0.02, 40, 0, 0, 1}};
  CHECK(PhotoMap::from(upright)->board_turn_rad({10, 10}) == doctest::Approx(0));
  CHECK(PhotoMap::from(upright)->px_per_mm({10, 10}) == doctest::Approx(50));
  Registration quarter;  // board up points right in the photo: a quarter turn clockwise
  quarter.board_from_photo = BoardFromPhoto{{0, 0.02, 0, 0.02, 0, 0, 0, 0, 1}};
  CHECK(PhotoMap::from(quarter)->board_turn_rad({10, 10}) == doctest::Approx(right_angle));
  Registration bottom;   // seen from below with up still up
  bottom.mirrored = true;
  bottom.board_from_photo = BoardFromPhoto{{-0.02, 0, 60, 0, -0.02, 40, 0, 0, 1}};
  CHECK(PhotoMap::from(bottom)->board_turn_rad({10, 10}) == doctest::Approx(0));
}

TEST_CASE("the stated error holds the truth about 95 times in 100, and grows away from the points") {
  for (const std::size_t count : {4U, 5U, 9U}) {
    std::mt19937 random(11 + static_cast<unsigned>(count));
    std::normal_distribution<double> pick(0, 2.0 / std::sqrt(2.0));  // 2 px in distance: what is assumed where nothing is known
    int held = 0, asked = 0;
    for (int photo = 0; photo < 400; ++photo) {
      auto points = grid();
      if (count == 4) points = {points[0], points[2], points[8], points[6]};
      if (count == 5) points = {points[0], points[2], points[8], points[6], points[4]};
      for (Fiducial& f : points) f.photo.x_px += pick(random), f.photo.y_px += pick(random);
      const auto report = fit_registration(points, Side::top);
      REQUIRE(report);
      const auto map = PhotoMap::from(report->registration);
      REQUIRE(map);
      for (const BoardPoint truth : {BoardPoint{20, 20}, BoardPoint{50, 44}, BoardPoint{99, 59}}) {
        const auto where = map->board_from(*(*slanted.inverse())(truth));
        REQUIRE(where);
        held += distance_mm(*where, truth) <= map->error_mm(truth) ? 1 : 0;
        ++asked;
      }
      CHECK(map->error_mm({99, 59}) > map->error_mm({50, 30}));
    }
    const double part = static_cast<double>(held) / asked;
    CAPTURE(count);
    MESSAGE(count, " points: held ", part);
    CHECK(part > 0.92);
    CHECK(part <= 1.0);
  }
}

TEST_CASE("a lens that bends is found when there are points enough") {
  LensTerm lens{-0.06, 1700, 1100, std::hypot(1700, 1100)};
  Registration truth;
  truth.board_from_photo = slanted;
  truth.lens = lens;
  const auto map = PhotoMap::from(truth);
  REQUIRE(map);
  std::vector<Fiducial> points;
  for (const double y : {2.0, 20.0, 40.0, 58.0})
    for (const double x : {2.0, 35.0, 65.0, 98.0}) points.push_back({*map->photo_from({x, y}), {x, y}, "", {}});
  const auto bare = fit_registration(points, Side::top);
  const auto bent = fit_registration_with_lens(points, Side::top, 3400, 2200);
  REQUIRE(bare);
  REQUIRE(bent);
  CHECK(bent->registration.lens->k1 == doctest::Approx(-0.06).epsilon(1e-4));
  CHECK(bent->registration.rms_mm < 1e-4);
  CHECK(bare->registration.rms_mm > 100 * bent->registration.rms_mm);
  points.resize(5);
  CHECK_FALSE(fit_registration_with_lens(points, Side::top, 3400, 2200));
}
