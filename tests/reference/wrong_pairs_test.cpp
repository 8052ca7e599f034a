// A wrong place presented as good is the worst fault automatic registration can have: photos that do not show
// the board, or show its other side, must all be refused.
//
// Pictures from outside the project: the photos that python3-skimage (Debian) brings along; where the package is
// not there, drawn benches stand in. tests/benchmarks/registration runs 200 pairings at full size.
#include <doctest/doctest.h>

#include <set>

#include "alignment/auto_registration.h"
#include "made_board.h"
#include "pictures/photo_file.h"
#include "storage/file_bytes.h"
#include "support/places.h"
#include "support/temporary_folder.h"

using namespace boardlore;

namespace {

// Reduced: the check is run often. What is refused at full size for want of likeness is so here too, and less
// detail makes chance more likely, not less.
constexpr int longest_side_px = 1000;

struct Picture {
  std::string name;
  Side side = Side::top;
  Raster raster;
};

Picture picture_of(const std::filesystem::path& path, Side side) {
  const auto raster = decode_full(path);
  REQUIRE(raster);
  const cv::Mat rgb = colour_of(*raster);
  return {path.filename().string(), side, raster_of(reduce(rgb, std::min(1.0, double(longest_side_px) / std::max(rgb.cols, rgb.rows))).picture)};
}

Picture part_of(const Picture& whole, double left, double top, double share) {
  const cv::Mat rgb = colour_of(whole.raster);
  const cv::Rect rect(cvRound(left * rgb.cols), cvRound(top * rgb.rows), cvRound(share * rgb.cols), cvRound(share * rgb.rows));
  cv::Mat larger;
  cv::resize(rgb(rect), larger, {}, 1.6, 1.6, cv::INTER_CUBIC);
  return {"part of " + whole.name, whole.side, raster_of(larger)};
}

// The picture lies on the board somehow; which way does not matter where nothing may be found.
RegisteredPhoto reference_of(const Picture& picture) {
  RegisteredPhoto reference;
  reference.name = picture.name;
  reference.sha256 = sha256_hex(picture.name);  // stands for its file's: names are told apart here
  reference.side = picture.side;
  const double mm = 148.0 / picture.raster.width_px;
  reference.registration.board_from_photo.rows = {mm, 0, 0, 0, -mm, 96, 0, 0, 1};
  reference.load = [&picture]() -> Result<Raster> { return picture.raster; };
  return reference;
}

AutoOutcome place(const Picture& photo, const Picture& onto) {
  AutoRequest request;
  request.photo = &photo.raster;
  request.onto = {reference_of(onto)};
  request.board_width_mm = 148;
  request.board_height_mm = 96;
  static const TemporaryFolder features;  // each picture is a reference many times
  request.feature_cache = features.path;
  return register_automatically(request);
}

}  // namespace

TEST_CASE("of fifty wrong pairings none is accepted, and the right ones at the same size are") {
  const auto dir = places::source_dir() / "boards/brackenwick-gc12";
  const Picture top = picture_of(dir / "top.jpg", Side::top), bottom = picture_of(dir / "bottom.jpg", Side::bottom);
  const Picture later_top = picture_of(dir / "later-unit/later_top.jpg", Side::top);
  const Picture later_bottom = picture_of(dir / "later-unit/later_bottom.jpg", Side::bottom);
  const std::vector<Picture> parts = {part_of(later_top, 0.1, 0.1, 0.4), part_of(later_top, 0.5, 0.45, 0.4),
                                      part_of(later_bottom, 0.1, 0.5, 0.4), part_of(later_bottom, 0.5, 0.1, 0.4)};
  std::vector<Picture> others;
  for (unsigned i = 0; i < 4; ++i)  // other boards with the same kinds of parts
    others.push_back({"made board " + std::to_string(i), Side::top,
                      raster_of(made::take(made::board_of(300 + i).rgb, {longest_side_px, 700, 40.0 * i, 10, 20.0 * i, 1.0, 0, 0, 0, 0.6, 3}).rgb)});
  const std::filesystem::path real = "/usr/lib/python3/dist-packages/skimage/data";
  for (const char* name : {"astronaut.png", "brick.png", "coffee.png", "coins.png", "grass.png", "gravel.png", "motorcycle_left.png",
                           "page.png", "hubble_deep_field.jpg"})
    if (std::filesystem::exists(real / name)) others.push_back(picture_of(real / name, Side::top));
  if (others.size() < 6) MESSAGE("no photos of python3-skimage: drawn benches instead");
  for (unsigned i = 0; others.size() < 13; ++i) others.push_back({"drawn bench " + std::to_string(i), Side::top, raster_of(made::desk(i, {longest_side_px, 750}))});

  std::vector<std::pair<const Picture*, const Picture*>> wrong;
  for (const Picture* photo : {&top, &later_top})
    for (const Picture* onto : {&bottom, &later_bottom}) wrong.insert(wrong.end(), {{photo, onto}, {onto, photo}});
  for (const Picture& part : parts) wrong.emplace_back(&part, part.side == Side::top ? &bottom : &top);
  for (const Picture& other : others)
    wrong.insert(wrong.end(), {{&other, &top}, {&other, &bottom}, {&later_top, &other}});
  CHECK(wrong.size() >= 50);

  int accepted = 0;
  double most = 0;
  for (const auto& [photo, onto] : wrong) {
    const AutoOutcome outcome = place(*photo, *onto);
    if (const auto* report = std::get_if<AutoReport>(&outcome)) {
      ++accepted;
      MESSAGE("accepted: " << photo->name << " onto " << onto->name << ", confidence " << report->confidence);
    } else {
      most = std::max(most, std::get<AutoRefusal>(outcome).confidence);
    }
  }
  CHECK(accepted == 0);
  CHECK(most < 0.5 * least_confidence);  // and none came near
  MESSAGE(wrong.size() << " wrong pairings, highest confidence " << most);

  // It could refuse everything: it does not.
  CHECK(std::holds_alternative<AutoReport>(place(later_top, top)));
  CHECK(std::holds_alternative<AutoReport>(place(later_bottom, bottom)));
  int found = 0;
  for (const Picture& part : parts) found += std::holds_alternative<AutoReport>(place(part, part.side == Side::top ? top : bottom));
  CHECK(found >= 3);
}
