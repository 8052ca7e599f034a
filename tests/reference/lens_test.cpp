// The radial lens term against its published definition (Brown-Conrady, as worked with OpenCV 4.6's
// projectPoints; a table of such values is kept with f = 1000, c = (640, 480)) and against the library itself.
#include <doctest/doctest.h>

#include <opencv2/calib3d.hpp>

#include "alignment/board_map.h"
#include "geometry/lens.h"

using namespace boardlore;

TEST_CASE("one radial term bends a point as cv::projectPoints does") {
  // Our r is in half diagonals, the library's in focal lengths: with focal = half diagonal they are the same.
  const double half_diagonal_px = 1000;
  for (const double k1 : {-0.2, -0.03, 0.08})
    for (const auto& [x, y] : {std::pair{0.3, 0.2}, std::pair{-0.5, 0.4}, std::pair{0.0, 0.0}, std::pair{0.7, -0.6}}) {
      const LensTerm lens{k1, 640, 480, half_diagonal_px};
      std::vector<cv::Point2d> pixel;
      cv::projectPoints(std::vector<cv::Point3d>{{x, y, 1}}, cv::Vec3d(0, 0, 0), cv::Vec3d(0, 0, 0),
                        cv::Matx33d(half_diagonal_px, 0, 640, 0, half_diagonal_px, 480, 0, 0, 1),
                        std::vector<double>{k1, 0, 0, 0}, pixel);
      const PhotoPoint straight{640 + half_diagonal_px * x, 480 + half_diagonal_px * y};
      const auto seen = seen_from_straight(lens, straight);
      REQUIRE(seen);
      CHECK(seen->x_px == doctest::Approx(pixel[0].x).epsilon(1e-12));
      CHECK(seen->y_px == doctest::Approx(pixel[0].y).epsilon(1e-12));
      const auto back = straight_from_seen(lens, *seen);
      REQUIRE(back);
      CHECK(distance_px(*back, straight) < 1e-7);
    }
}

TEST_CASE("a table value of the radial definition, to the digits printed") {
  // k1 = -0.2, k2 = 0.05 gives (0.2924535, 0.194969) at (0.3, 0.2). Without its k2 part, which is
  // 0.05 * 0.13^2 of the point, (0.2922, 0.1948).
  const double with_k2_x = 0.2924535, with_k2_y = 0.194969, k2_part = 0.05 * 0.13 * 0.13;
  const auto seen = seen_from_straight(LensTerm{-0.2, 0, 0, 1}, PhotoPoint{0.3, 0.2});
  REQUIRE(seen);
  CHECK(seen->x_px == doctest::Approx(with_k2_x - 0.3 * k2_part).epsilon(1e-9));
  CHECK(seen->y_px == doctest::Approx(with_k2_y - 0.2 * k2_part).epsilon(1e-9));
}

TEST_CASE("a fit to points projected by the library finds the library's term again") {
  const double k1 = -0.09;
  const cv::Matx33d camera(1250, 0, 1000, 0, 1250, 750, 0, 0, 1);  // half diagonal of 2000 x 1500 is 1250
  std::vector<cv::Point3d> board;
  for (int i = 0; i <= 16; ++i)
    for (int j = 0; j <= 10; ++j) board.emplace_back(5.0 * i, 5.0 * j, 0);
  std::vector<cv::Point2d> pixels;
  // y of the board runs up, so half a turn about x looks at it from above; tilted by 0.2 rad more.
  cv::projectPoints(board, cv::Vec3d(3.1415926535897931 - 0.2, 0.05, 0.02), cv::Vec3d(-40, 25, 62), camera,
                    std::vector<double>{k1, 0, 0, 0}, pixels);
  std::vector<Correspondence> points;
  for (std::size_t i = 0; i < board.size(); ++i)
    points.push_back({{pixels[i].x, pixels[i].y}, {board[i].x, board[i].y}});
  const auto fit = fit_board_map(points, {2000, 1500});
  REQUIRE(fit);
  REQUIRE(fit->map.lens);
  CHECK(fit->map.lens->k1 == doctest::Approx(k1).epsilon(1e-3));
  CHECK(fit->rms_px < 0.01);
}
