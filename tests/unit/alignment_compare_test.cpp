// Before and after: what was turned, taken away or moved is named, and nothing else.
#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "alignment/difference.h"
#include "alignment/mosaic.h"
#include "made_board.h"
#include "pictures/photo_file.h"
#include "support/places.h"
#include "storage/documents.h"

using namespace boardlore;

namespace {

Mark part_mark(const std::string& refdes, BoardPoint at, double length_mm, double width_mm, int pins, double height_mm) {
  Mark mark;
  // Any text sorts; the table only asks that ids differ.
  mark.id = Id{"0000-" + refdes};
  mark.kind = MarkKind::part;
  mark.refdes = refdes;
  mark.at = at;
  mark.height_mm = height_mm;
  Package package;
  package.family = pins > 2 ? PackageFamily::dual_row : PackageFamily::two_terminal;
  package.pins = pins;
  package.body_length_mm = length_mm;
  package.body_width_mm = width_mm;
  mark.package = package;
  return mark;
}

struct Fitted {
  double u2_turn_deg = 0, c3_shift_mm = 0;
  bool c2_there = true;
};

// The same bare board each time; three chips and four capacitors on it as told.
made::Board fitted_board(const Fitted& fitted) {
  made::Board board = made::bare_board(21);
  made::dual_row_part(board, 15, 25, 10, 0, "AX7");
  made::dual_row_part(board, 35, 25, 10, fitted.u2_turn_deg, "RQ4");
  made::dual_row_part(board, 55, 25, 10, 0, "AX7");
  for (int i = 0; i < 4; ++i)
    if (i != 1 || fitted.c2_there) made::chip_part(board, 45 + (i == 2 ? fitted.c3_shift_mm : 0), 15 + 5.0 * i, false, {150, 118, 80});
  return board;
}

Layer layer_of() {
  Layer layer;
  layer.board.width_mm = 80;
  layer.board.height_mm = 50;
  std::vector<MarkPtr> marks;
  for (int i = 0; i < 3; ++i)
    marks.push_back(std::make_shared<const Mark>(part_mark("U" + std::to_string(i + 1), {15.0 + 20 * i, 25}, 4.0, 6.35, 10, 0)));
  for (int i = 0; i < 4; ++i)
    marks.push_back(std::make_shared<const Mark>(part_mark("C" + std::to_string(i + 1), {45, 15 + 5.0 * i}, 1.6, 0.8, 2, 0)));
  layer.marks = MarkTable(marks);
  return layer;
}

struct Photo2 {
  Raster raster;
  Registration registration;
};

Photo2 photo_of(const made::Board& board, const made::Shot& shot) {
  const made::ShotPicture picture = made::take(board.rgb, shot);
  Photo2 photo{raster_of(picture.rgb), {}};
  photo.registration.board_from_photo = made::square_on(board).board_from_photo * *picture.straight_from_source.inverse();
  return photo;
}

std::map<std::string, PartComparison> compared(const Fitted& before, const Fitted& after) {
  made::Shot first{1600, 1000, 3, 6, 0, 0.95}, second{1600, 1000, -8, 8, 70, 0.95};
  first.noise = second.noise = 3;
  second.uneven = 0.5, second.gain = 1.15, second.seed = 8;
  const Photo2 a = photo_of(fitted_board(before), first), b = photo_of(fitted_board(after), second);
  const auto comparison = compare_photos({&a.raster, a.registration}, {&b.raster, b.registration}, layer_of(), Side::top);
  REQUIRE(comparison);
  std::map<std::string, PartComparison> parts;
  for (const PartComparison& part : comparison->parts) parts[part.refdes] = part;
  REQUIRE(parts.size() == 7);
  return parts;
}

}  // namespace

TEST_CASE("an untouched board in other light has no findings") {
  for (const auto& entry : compared({}, {})) {
    const auto& refdes = entry.first;
    const auto& part = entry.second;
    CAPTURE(refdes);
    CHECK_FALSE(is_finding(part.verdict));
  }
}

TEST_CASE("a turned chip is found, by how much, and alone") {
  for (const auto& entry : compared({}, {180, 0, true})) {
    const auto& refdes = entry.first;
    const auto& part = entry.second;
    CAPTURE(refdes);
    if (refdes == "U2") {
      CHECK(part.verdict == PartVerdict::turned);
      CHECK(part.turn_deg == 180);
      CHECK(part.confidence > 0.7);
    } else {
      CHECK_FALSE(is_finding(part.verdict));
    }
  }
}

TEST_CASE("a capacitor that is gone is missing, one that slid is moved") {
  for (const auto& entry : compared({}, {0, 0.5, false})) {
    const auto& refdes = entry.first;
    const auto& part = entry.second;
    CAPTURE(refdes);
    if (refdes == "C2") {
      CHECK(part.verdict == PartVerdict::missing);
    } else if (refdes == "C3") {
      CHECK(part.verdict == PartVerdict::moved);
      CHECK(part.shift_mm == doctest::Approx(0.5).epsilon(0.15));
    } else {
      CHECK_FALSE(is_finding(part.verdict));
    }
  }
}

TEST_CASE("too few pixels or a part outside the photo cannot be told") {
  const Photo2 small = photo_of(fitted_board({}), {300, 190, 0, 0, 0, 0.95});
  const auto comparison = compare_photos({&small.raster, small.registration}, {&small.raster, small.registration}, layer_of(), Side::top);
  REQUIRE(comparison);
  for (const PartComparison& part : comparison->parts)
    if (part.refdes[0] == 'C') CHECK(part.verdict == PartVerdict::cannot_tell);
  made::Shot off{800, 600, 0, 0, 0, 3};
  const Photo2 close = photo_of(fitted_board({}), off);
  const auto apart = compare_photos({&close.raster, close.registration}, {&close.raster, close.registration}, layer_of(), Side::top);
  REQUIRE(apart);
  for (const PartComparison& part : apart->parts)
    if (part.refdes == "U1") CHECK(part.verdict == PartVerdict::cannot_tell);
}

TEST_CASE("a ball of solder beside the parts is named with its place") {
  const made::Board clean = fitted_board({});
  made::Board dirty = fitted_board({});
  cv::circle(dirty.rgb, made::at(dirty, 68, 12), cvRound(0.6 * dirty.px_per_mm), {235, 235, 235}, cv::FILLED, cv::LINE_AA);
  const Photo2 a = photo_of(clean, {1600, 1000, 3, 6, 0, 0.95}), b = photo_of(dirty, {1600, 1000, -8, 8, 70, 0.95});
  const auto comparison = compare_photos({&a.raster, a.registration}, {&b.raster, b.registration}, layer_of(), Side::top);
  REQUIRE(comparison);
  REQUIRE(comparison->surroundings.size() == 1);
  const BoardRect& place = comparison->surroundings[0].place;
  CHECK(std::hypot(place.left_mm + place.width_mm / 2 - 68, place.low_mm + place.height_mm / 2 - 12) < 0.4);
}

TEST_CASE("a comparison is refused where it can't be made, obeys a stop, and repeats") {
  const Photo2 photo = photo_of(fitted_board({}), {800, 500, 3, 6, 0, 0.95});
  const RegisteredPicture picture{&photo.raster, photo.registration};
  Layer no_size = layer_of();
  no_size.board.width_mm.reset();
  CHECK_FALSE(compare_photos(picture, picture, no_size, Side::top));
  RegisteredPicture elsewhere = picture;
  elsewhere.registration.board_from_photo.rows[2] += 1e5;
  CHECK_FALSE(compare_photos(picture, elsewhere, layer_of(), Side::top));
  std::stop_source source;
  source.request_stop();
  const auto stopped = compare_photos(picture, picture, layer_of(), Side::top, source.get_token());
  REQUIRE_FALSE(stopped);
  CHECK(stopped.problem().found == kStopped);
  const auto once = compare_photos(picture, picture, layer_of(), Side::top), again = compare_photos(picture, picture, layer_of(), Side::top);
  REQUIRE(once);
  REQUIRE(again);
  REQUIRE(once->parts.size() == again->parts.size());
  for (std::size_t i = 0; i < once->parts.size(); ++i) {
    CHECK(once->parts[i].refdes == again->parts[i].refdes);
    CHECK(once->parts[i].confidence == again->parts[i].confidence);
    CHECK_FALSE(is_finding(once->parts[i].verdict));
  }
  CHECK(once->surroundings.empty());
}

TEST_CASE("the difference glows where something changed and is dark elsewhere") {
  const made::Board clean = fitted_board({});
  made::Board dirty = fitted_board({});
  cv::circle(dirty.rgb, made::at(dirty, 68, 12), cvRound(0.8 * dirty.px_per_mm), {235, 235, 235}, cv::FILLED, cv::LINE_AA);
  const Photo2 a = photo_of(clean, {1600, 1000, 3, 6, 0, 0.95}), b = photo_of(dirty, {1600, 1000, -8, 8, 70, 0.95});
  const auto seen = difference_picture({&a.raster, a.registration}, {&b.raster, b.registration}, layer_of().board, Side::top, 5e5);
  REQUIRE(seen);
  const auto red_minus_blue = [&](double x_mm, double y_mm) {
    const std::uint8_t* pixel = seen->picture.pixel(static_cast<int>(x_mm * seen->px_per_mm), static_cast<int>((50 - y_mm) * seen->px_per_mm));
    return pixel[0] - pixel[2];
  };
  CHECK(red_minus_blue(68, 12) > 150);
  int glowing = 0, all = 0;
  for (double x = 2; x < 62; x += 0.5)
    for (double y = 2; y < 48; y += 0.5) ++all, glowing += red_minus_blue(x, y) > 60;
  CHECK(glowing < 0.01 * all);
}

TEST_CASE("the demo's job: the turned chip and the missing capacitor, and nothing else") {
  const std::filesystem::path dir = places::source_dir() / "boards/brackenwick-gc12";
  const auto text_of = [](const std::filesystem::path& path) {
    std::ifstream in(path);
    std::stringstream text;
    text << in.rdbuf();
    return text.str();
  };
  const auto layer = read_layer(text_of(dir / "layer.json"), "layer.json");
  REQUIRE(layer);
  const auto truth = nlohmann::json::parse(text_of(dir / "later-unit/truth.json"));
  const auto photo_named = [&](const std::string& name) {
    auto raster = decode_full(dir / "later-unit" / name);
    REQUIRE(raster);
    Photo2 photo{std::move(*raster), {}};
    for (const auto& entry : truth["photos"])
      if (std::filesystem::path(entry["file"].get<std::string>()).filename() == name) {
        PhotoFromBoard map;
        for (std::size_t i = 0; i < 9; ++i) map.rows[i] = entry["photo_from_board"][i];
        photo.registration.board_from_photo = *map.inverse();
      }
    return photo;
  };
  const Photo2 before = photo_named("later_before.jpg"), after = photo_named("later_after.jpg");
  const auto comparison = compare_photos({&before.raster, before.registration}, {&after.raster, after.registration}, *layer, Side::top);
  REQUIRE(comparison);
  std::map<std::string, std::string> findings;
  for (const PartComparison& part : comparison->parts)
    if (is_finding(part.verdict)) findings[part.refdes] = std::string(verdict_name(part.verdict)) + " " + std::to_string(part.turn_deg);
  CHECK(findings == std::map<std::string, std::string>{{"C16", "missing 0"}, {"U5", "turned 180"}});
  CHECK(comparison->surroundings.empty());
}

TEST_CASE("a straightened photo is the board square-on") {
  const made::Board board = made::board_of(2);
  const Photo2 photo = photo_of(board, {1600, 1000, 20, 15, 30, 0.8});
  const auto straight = straightened(photo.raster, photo.registration, {20, 10, 40, 30}, 15, Side::top);
  REQUIRE(straight);
  CHECK(straight->width_px == 600);
  CHECK(straight->height_px == 450);
  cv::Mat truth = board.rgb(cv::Rect(cvRound(20 * board.px_per_mm), cvRound(10 * board.px_per_mm), cvRound(40 * board.px_per_mm),
                                     cvRound(30 * board.px_per_mm))).clone();
  cv::resize(truth, truth, {600, 450}, 0, 0, cv::INTER_AREA);
  cv::Mat a, b, score;
  cv::GaussianBlur(colour_of(*straight), a, {}, 1.0);
  cv::GaussianBlur(truth, b, {}, 1.0);
  cv::matchTemplate(a, b, score, cv::TM_CCOEFF_NORMED);
  CHECK(score.at<float>(0, 0) > 0.95);
}

TEST_CASE("a straightened picture says where it lies on the board, whichever side it shows") {
  Raster photo;
  photo.width_px = 400, photo.height_px = 300;
  photo.rgba.assign(400 * 300 * 4, 255);
  for (const Side side : {Side::top, Side::bottom}) {
    // 10 px a millimetre, the board's corner at photo pixel 50, 280; a dark square at 12 to 13 mm, 7 to 8 mm.
    Registration registration;
    registration.mirrored = side == Side::bottom;
    registration.rms_mm = 0.03;
    registration.px_per_mm = 10;
    const double across = side == Side::top ? 0.1 : -0.1;
    registration.board_from_photo.rows = {across, 0, side == Side::top ? -5.0 : 35.0, 0, -0.1, 28, 0, 0, 1};
    Raster seen = photo;
    for (int y = 200; y < 210; ++y)
      for (int x = 0; x < 10; ++x) {
        const int column = side == Side::top ? 170 + x : 220 + x;
        for (int c = 0; c < 3; ++c) seen.pixel(column, y)[c] = 0;
      }
    const BoardRect rect{2, 3, 24, 15};
    const auto straight = straightened(seen, registration, rect, 20, side);
    REQUIRE(straight);
    double sum = 0, x_sum = 0, y_sum = 0;
    for (int y = 0; y < straight->height_px; ++y)
      for (int x = 0; x < straight->width_px; ++x) {
        const double dark = 255 - straight->pixel(x, y)[1];
        sum += dark, x_sum += dark * (x + 0.5), y_sum += dark * (y + 0.5);
      }
    REQUIRE(sum > 0);
    const Registration lies = straight_registration(rect, 20, side, registration);
    const auto at = lies.board_from_photo(PhotoPoint{x_sum / sum, y_sum / sum});
    REQUIRE(at);
    CHECK(at->x_mm == doctest::Approx(12.5).epsilon(0.002));
    CHECK(at->y_mm == doctest::Approx(7.5).epsilon(0.002));
    CHECK(lies.mirrored == registration.mirrored);
    CHECK(lies.rms_mm == registration.rms_mm);
  }
}

TEST_CASE("of two photos of one place the sharper makes the joined picture") {
  const made::Board board = made::board_of(3);
  made::Shot sharp{1200, 750, 0, 0, 0, 1}, soft = sharp;
  soft.blur_px = 4, soft.gain = 0.8;
  const Photo2 a = photo_of(board, sharp), b = photo_of(board, soft);
  const auto source = [](const Photo2& photo) {
    return MosaicSource{[&photo]() -> Result<Raster> { return photo.raster; }, photo.registration};
  };
  const auto joined = join_photos({source(b), source(a)}, {5, 5, 70, 40}, 12, Side::top);
  REQUIRE(joined);
  CHECK(joined->covered > 0.99);
  CHECK(joined->shares[1] > 0.85);
}
