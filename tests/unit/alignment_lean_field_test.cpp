// The lean of bodies' tops between two photos: against a reference library's pinhole camera, with parts that moved among them.
#include "alignment/lean_field.h"

#include <doctest/doctest.h>

#include <cmath>
#include <opencv2/calib3d.hpp>
#include <random>

#include "judging/package_height.h"

using namespace boardlore;

namespace {

struct Camera {
  cv::Vec3d turn, place;  // Rodrigues vector; mm over the board, looking down
};

// Where the top of a body of that height over `at` is seen on the board's plane: projected by cv::projectPoints and brought
// back through the plane's own homography, as a registered photo does it.
Offset seen_displaced(const Camera& camera, BoardPoint at, double height_mm) {
  const cv::Matx33d k(5000, 0, 1300, 0, 5000, 900, 0, 0, 1);
  // Board axes to the camera's: y and z turned about, as a camera looks down on it.
  cv::Matx33d look;
  cv::Rodrigues(camera.turn, look);
  const cv::Matx33d down(1, 0, 0, 0, -1, 0, 0, 0, -1), r = look * down;
  const cv::Vec3d t = -(r * camera.place);
  cv::Vec3d rvec;
  cv::Rodrigues(r, rvec);
  const auto project = [&](const std::vector<cv::Point3d>& points) {
    std::vector<cv::Point2d> seen;
    cv::projectPoints(points, rvec, t, k, cv::noArray(), seen);
    return seen;
  };
  const std::vector<cv::Point3d> plane{{0, 0, 0}, {140, 0, 0}, {140, 95, 0}, {0, 95, 0}};
  std::vector<cv::Point2d> flat;
  for (const cv::Point3d& p : plane) flat.emplace_back(p.x, p.y);
  const cv::Mat board_from_photo = cv::findHomography(project(plane), flat);
  std::vector<cv::Point2d> back;
  cv::perspectiveTransform(project({{at.x_mm, at.y_mm, height_mm}}), back, board_from_photo);
  return {back[0].x - at.x_mm, back[0].y - at.y_mm};
}

}  // namespace

TEST_CASE("lean between two photos follows from a few bodies, and what moved is not taken for it") {
  const Camera before{{0.05, -0.1, 0.02}, {90, 113, 425}}, after{{-0.12, 0.15, 0.4}, {5, -29, 386}};
  std::mt19937 random(7);
  std::uniform_real_distribution<double> x(5, 135), y(5, 90), height(0.8, 4), noise(-0.03, 0.03);
  std::vector<LeanSample> samples;
  const auto lean = [&](BoardPoint at, double height_mm) {
    const Offset a = seen_displaced(before, at, height_mm), b = seen_displaced(after, at, height_mm);
    return Offset{b.x_mm - a.x_mm, b.y_mm - a.y_mm};
  };
  for (int i = 0; i < 24; ++i) {
    LeanSample sample{{x(random), y(random)}, height(random), {}};
    const Offset shift = lean(sample.at, sample.height_mm);
    sample.shift = {shift.x_mm + noise(random), shift.y_mm + noise(random)};
    if (i % 4 == 3) sample.shift.x_mm += 1.5, sample.shift.y_mm -= 0.7;  // moved
    samples.push_back(sample);
  }
  const auto field = fit_lean(samples);
  REQUIRE(field);
  CHECK(field->spread_mm < 0.06);
  for (const BoardPoint at : {BoardPoint{10, 10}, BoardPoint{70, 45}, BoardPoint{130, 85}}) {
    const Offset truth = lean(at, 3.0), found = field->at(at, 3.0);
    INFO(at.x_mm << " " << at.y_mm << ": " << truth.x_mm << " " << truth.y_mm);
    // Height against distance is neglected: 3 of 400 mm of a lean of some 1 mm.
    CHECK(std::hypot(found.x_mm - truth.x_mm, found.y_mm - truth.y_mm) < 0.05);
    CHECK(std::hypot(truth.x_mm, truth.y_mm) > 0.5);  // it is there to be found
  }
}

TEST_CASE("too few bodies, or bodies that do not agree, tell nothing of the lean") {
  std::vector<LeanSample> samples(5, LeanSample{{10, 10}, 2, {0.1, 0}});
  CHECK_FALSE(fit_lean(samples));
  samples.push_back({{20, 40}, 2, {0.1, 0}});
  CHECK(fit_lean(samples));
  for (int i = 0; i < 8; ++i) samples.push_back({{7.0 * i, 90.0 - 11 * i}, 1.0 + 0.3 * i, {std::sin(40.0 * i) * 3, std::cos(70.0 * i) * 3}});
  CHECK_FALSE(fit_lean(samples));
}

TEST_CASE("a body is no taller than its package's outline allows") {
  Package package;
  const auto height = [&](PackageFamily family, double pitch_mm, double length_mm, double width_mm, const char* name = "") {
    package.family = family, package.pitch_mm = pitch_mm, package.body_length_mm = length_mm, package.body_width_mm = width_mm, package.name = name;
    return highest_body_mm(package);
  };
  // Seated heights, JEDEC outlines, from memory.
  CHECK(height(PackageFamily::dual_row, 1.27, 3.9, 4.9) == 1.75);    // MS-012
  CHECK(height(PackageFamily::dual_row, 1.27, 7.5, 12.8) == 2.65);   // MS-013
  CHECK(height(PackageFamily::dual_row, 2.54, 6.35, 9.3) == 5.33);   // MS-001
  CHECK(height(PackageFamily::quad, 1.27, 16.6, 16.6) == 4.57);      // MS-018
  CHECK(height(PackageFamily::two_terminal, 0, 7.3, 4.3, "moulded D") == 3.1);  // EIA-535
  CHECK_FALSE(height(PackageFamily::two_terminal, 0, 10.3, 10.3, "can 10"));
  CHECK_FALSE(height(PackageFamily::connector, 2.54, 10, 5));
}
