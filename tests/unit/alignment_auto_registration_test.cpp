// A photo finds its place, or is refused: on boards drawn for the test, with exact truth.
#include <doctest/doctest.h>

#include <filesystem>

#include "alignment/auto_registration.h"
#include "alignment/board_map.h"
#include "alignment/feature_cache.h"
#include "made_board.h"

using namespace boardlore;

namespace {

RegisteredPhoto reference_of(const made::Board& board, const std::string& name, Side side = Side::top) {
  RegisteredPhoto reference;
  reference.name = name;
  reference.side = side;
  reference.registration = made::square_on(board);
  reference.load = [raster = raster_of(board.rgb)]() -> Result<Raster> { return raster; };
  return reference;
}

const made::Board& board_a() {
  static const made::Board board = made::board_of(1);
  return board;
}

AutoOutcome place(const made::ShotPicture& shot, std::vector<RegisteredPhoto> onto) {
  const Raster raster = raster_of(shot.rgb);
  AutoRequest request;
  request.photo = &raster;
  request.onto = std::move(onto);
  request.board_width_mm = 80;
  request.board_height_mm = 50;
  return register_automatically(request);
}

double worst_px(const AutoReport& report, const made::ShotPicture& shot, const made::Board& board) {
  const BoardMap map = board_map_of(report.registration);
  double worst = 0;
  for (int i = 1; i < 10; ++i)
    for (int j = 1; j < 6; ++j) {
      const BoardPoint at{8.0 * i, 8.0 * j};
      const auto truth = shot.seen({at.x_mm * board.px_per_mm, (board.height_mm - at.y_mm) * board.px_per_mm});
      if (!truth || truth->x_px < 0 || truth->y_px < 0 || truth->x_px > shot.rgb.cols || truth->y_px > shot.rgb.rows) continue;
      const auto found = map.photo(at);
      worst = std::max(worst, found ? distance_px(*found, *truth) : 1e6);
    }
  return worst;
}

}  // namespace

TEST_CASE("a tilted, turned photo in other light lands to a fraction of a pixel") {
  made::Shot shot{1400, 1000, 200, 20, 40, 0.95};
  shot.noise = 4, shot.uneven = 0.4, shot.blur_px = 0.8;
  const made::ShotPicture picture = made::take(board_a().rgb, shot);
  const AutoOutcome outcome = place(picture, {reference_of(board_a(), "top.jpg")});
  REQUIRE(std::holds_alternative<AutoReport>(outcome));
  const auto& report = std::get<AutoReport>(outcome);
  CHECK(worst_px(report, picture, board_a()) < 0.25);
  CHECK(report.onto == "top.jpg");
  CHECK(report.side == Side::top);
  CHECK(report.coverage > 0.6);
  CHECK(report.confidence > 0.8);
  CHECK(report.registration.fiducials.size() >= 8);
  CHECK_FALSE(report.registration.mirrored);
  SUBCASE("and the same photo twice gives the same answer") {
    const AutoOutcome again = place(picture, {reference_of(board_a(), "top.jpg")});
    REQUIRE(std::holds_alternative<AutoReport>(again));
    CHECK(std::get<AutoReport>(again).registration == report.registration);
  }
}

TEST_CASE("a photo with barrel distortion gets a lens term") {
  made::Shot shot{1400, 1000, 10, 12, 40, 0.95};
  shot.k1 = -0.08, shot.noise = 2;
  const made::ShotPicture picture = made::take(board_a().rgb, shot);
  const AutoOutcome outcome = place(picture, {reference_of(board_a(), "top.jpg")});
  REQUIRE(std::holds_alternative<AutoReport>(outcome));
  CHECK(std::get<AutoReport>(outcome).lens_k1 == doctest::Approx(-0.08).epsilon(0.1));
  CHECK(worst_px(std::get<AutoReport>(outcome), picture, board_a()) < 0.6);
}

TEST_CASE("a close-up of a part of the board is placed among the sides it could be on") {
  made::Shot shot{1200, 900, 95, 8, 10, 2.5, 0.3, 0.2};
  shot.noise = 3;
  const made::ShotPicture picture = made::take(board_a().rgb, shot);
  const made::Board other = made::board_of(50);
  const AutoOutcome outcome = place(picture, {reference_of(other, "bottom.jpg", Side::bottom), reference_of(board_a(), "top.jpg")});
  REQUIRE(std::holds_alternative<AutoReport>(outcome));
  CHECK(std::get<AutoReport>(outcome).onto == "top.jpg");
  CHECK(worst_px(std::get<AutoReport>(outcome), picture, board_a()) < 1.0);
  CHECK(std::get<AutoReport>(outcome).coverage < 0.4);
}

TEST_CASE("what cannot be placed is refused with the reason") {
  made::Shot plain{1000, 750, 15, 5, 0, 0.95};
  plain.noise = 2;
  SUBCASE("another board with the same kinds of parts") {
    const AutoOutcome outcome = place(made::take(made::board_of(9).rgb, plain), {reference_of(board_a(), "top.jpg")});
    REQUIRE(std::holds_alternative<AutoRefusal>(outcome));
    CHECK(std::get<AutoRefusal>(outcome).reason == RefusalReason::wrong_board);
  }
  SUBCASE("too blurred") {
    plain.blur_px = 14;
    const AutoOutcome outcome = place(made::take(board_a().rgb, plain), {reference_of(board_a(), "top.jpg")});
    REQUIRE(std::holds_alternative<AutoRefusal>(outcome));
    CHECK(std::get<AutoRefusal>(outcome).reason == RefusalReason::too_blurred);
  }
  SUBCASE("a mirror image") {
    made::ShotPicture picture = made::take(board_a().rgb, plain);
    cv::flip(picture.rgb, picture.rgb, 1);
    const AutoOutcome outcome = place(picture, {reference_of(board_a(), "top.jpg")});
    REQUIRE(std::holds_alternative<AutoRefusal>(outcome));
    CHECK(std::get<AutoRefusal>(outcome).reason == RefusalReason::mirror_image);
  }
  SUBCASE("the other side than wanted") {
    const Raster raster = raster_of(made::take(board_a().rgb, plain).rgb);
    AutoRequest request;
    request.photo = &raster;
    request.onto = {reference_of(board_a(), "top.jpg")};
    request.wanted_side = Side::bottom;
    const AutoOutcome outcome = register_automatically(request);
    REQUIRE(std::holds_alternative<AutoRefusal>(outcome));
    CHECK(std::get<AutoRefusal>(outcome).reason == RefusalReason::wrong_side);
    CHECK(std::get<AutoRefusal>(outcome).words.find("top") != std::string::npos);
  }
  SUBCASE("nothing to register onto") {
    const AutoOutcome outcome = place(made::take(board_a().rgb, plain), {});
    REQUIRE(std::holds_alternative<AutoRefusal>(outcome));
    CHECK(std::get<AutoRefusal>(outcome).reason == RefusalReason::no_reference);
  }
}

TEST_CASE("a pattern that repeats all over is not guessed at") {
  // Nothing but a grid of like lands: any pitch further on fits as well.
  made::Board grid;
  grid.rgb = cv::Mat(1000, 1600, CV_8UC3, cv::Scalar(24, 92, 52));
  for (int i = 0; i < 40; ++i)
    for (int j = 0; j < 25; ++j) cv::circle(grid.rgb, {20 + 40 * i, 20 + 40 * j}, 9, {200, 190, 150}, cv::FILLED, cv::LINE_AA);
  const made::ShotPicture picture = made::take(grid.rgb, {900, 700, 7, 5, 0, 2.0, 0.2, 0.1});
  CHECK(std::holds_alternative<AutoRefusal>(place(picture, {reference_of(grid, "grid.jpg")})));
}

TEST_CASE("a stop is obeyed and leaves nothing behind") {
  const Raster raster = raster_of(made::take(board_a().rgb, {1000, 750, 15, 5, 0, 0.95}).rgb);
  const std::filesystem::path cache = std::filesystem::temp_directory_path() / "boardlore-alignment-stop";
  std::filesystem::remove_all(cache);
  AutoRequest request;
  request.photo = &raster;
  request.onto = {reference_of(board_a(), "top.jpg")};
  request.feature_cache = cache;
  std::stop_source source;
  const AutoOutcome outcome = register_automatically(request, source.get_token(), [&](double) { source.request_stop(); });
  REQUIRE(std::holds_alternative<AutoRefusal>(outcome));
  CHECK(std::get<AutoRefusal>(outcome).reason == RefusalReason::stopped);
  CHECK_FALSE(std::filesystem::exists(cache));
}

TEST_CASE("features are kept by the photo's hash and a damaged file is passed over") {
  const std::filesystem::path folder = std::filesystem::temp_directory_path() / "boardlore-alignment-cache";
  std::filesystem::remove_all(folder);
  cv::Mat grey;
  cv::cvtColor(board_a().rgb, grey, cv::COLOR_RGB2GRAY);
  const FeatureSet set = find_features(grey, 600, 500);
  const std::string hash(64, 'a');
  CHECK_FALSE(cached_features(folder, hash, 600));
  cache_features(folder, hash, 600, set);
  const auto kept = cached_features(folder, hash, 600);
  REQUIRE(kept);
  CHECK(kept->descriptors == set.descriptors);
  CHECK(kept->features.size() == set.features.size());
  CHECK_FALSE(cached_features(folder, std::string(64, 'b'), 600));
  CHECK_FALSE(cached_features(folder, "../../etc/passwd", 600));
  const auto path = folder / (hash + "-600.features");
  std::filesystem::resize_file(path, std::filesystem::file_size(path) - 7);
  CHECK_FALSE(cached_features(folder, hash, 600));
  std::filesystem::remove_all(folder);
}
