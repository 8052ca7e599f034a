#include <doctest/doctest.h>

#include "exchange/take_in_photo.h"
#include "pictures/encode.h"
#include "pictures/scrub.h"
#include "storage/file_bytes.h"
#include "support/places.h"
#include "support/run_program.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

Raster shaded(int width_px, int height_px) {
  Raster raster{width_px, height_px, {}};
  for (int y = 0; y < height_px; ++y)
    for (int x = 0; x < width_px; ++x)
      for (const int value : {4 * x, 4 * y, 2 * (x + y), 255}) raster.rgba.push_back(static_cast<std::uint8_t>(value));
  return raster;
}

// A BMP of 24 bits a pixel; rows from below, each padded to four bytes.
std::string bmp_of(const Raster& raster) {
  const auto number = [](std::uint32_t value, int bytes) {
    std::string text;
    for (int i = 0; i < bytes; ++i) text += static_cast<char>(value >> (8 * i) & 255U);
    return text;
  };
  const auto width = static_cast<std::uint32_t>(raster.width_px), height = static_cast<std::uint32_t>(raster.height_px);
  const std::uint32_t row = (3 * width + 3) / 4 * 4;
  std::string bytes = "BM" + number(54 + row * height, 4) + number(0, 4) + number(54, 4) + number(40, 4) + number(width, 4) +
                      number(height, 4) + number(1, 2) + number(24, 2) + number(0, 4) + number(row * height, 4) + std::string(16, '\0');
  for (std::uint32_t y = height; y-- > 0;) {
    for (std::uint32_t x = 0; x < width; ++x)
      for (const std::uint32_t channel : {2U, 1U, 0U}) bytes += static_cast<char>(raster.rgba[4 * (y * width + x) + channel]);
    bytes.append(row - 3 * width, '\0');
  }
  return bytes;
}

int largest_difference(const Raster& a, const Raster& b) {
  int largest = 0;
  for (std::size_t i = 0; i < a.rgba.size(); ++i) largest = std::max(largest, std::abs(a.rgba[i] - b.rgba[i]));
  return largest;
}

}  // namespace

TEST_CASE("a picture that cannot be scrubbed bit by bit becomes a JPEG on a board and stays as it is in a job") {
  TemporaryFolder tmp;
  const Raster raster = shaded(60, 40);
  REQUIRE(write_file_atomically(tmp.path / "phone.bmp", bmp_of(raster)));
  PhotoTakingIn taking{tmp.path / "board", false, tmp.path / "phone.bmp", Side::top, {}, {}};
  const auto photo = copy_photo(taking, Id{"00000000-0000-7000-8000-000000000001"}, {});
  REQUIRE_MESSAGE(photo, to_text(photo.problem()));
  CHECK(photo->file == "phone.jpg");
  const auto kept = decode_full(tmp.path / "board" / photo->file);
  REQUIRE(kept);
  CHECK(kept->width_px == 60);
  CHECK(kept->height_px == 40);
  CHECK(largest_difference(*kept, raster) < 12);
  CHECK(photo->sha256 == sha256_hex(*read_file(tmp.path / "board/phone.jpg")));
  taking.dir = tmp.path / "job";
  taking.job = true;
  const auto evidence = copy_photo(taking, Id{"00000000-0000-7000-8000-000000000002"}, {});
  REQUIRE(evidence);
  CHECK(*read_file(tmp.path / "job/photos/phone.bmp") == *read_file(tmp.path / "phone.bmp"));
}

TEST_CASE("HEIC, written by the reference encoder, opens and becomes a board's JPEG") {
  if (run_shell("command -v heif-enc > /dev/null").exit_code != 0) {
    MESSAGE("skipped: heif-enc (libheif-examples) is not installed");
    return;
  }
  TemporaryFolder tmp;
  const Raster raster = shaded(64, 48);
  REQUIRE(write_png(tmp.path / "a.png", raster));
  const RunResult made = run_shell("cd " + shell_quoted(tmp.path.string()) + " && heif-enc -q 95 a.png -o a.heic 2>&1");
  REQUIRE_MESSAGE(made.exit_code == 0, made.output);
  const auto opened = decode_full(tmp.path / "a.heic");
  REQUIRE_MESSAGE(opened, to_text(opened.problem()));
  CHECK(opened->width_px == 64);
  CHECK(opened->height_px == 48);
  CHECK(largest_difference(*opened, raster) < 30);
  const auto photo = copy_photo({tmp.path / "board", false, tmp.path / "a.heic", Side::top, {}, {}}, Id{"00000000-0000-7000-8000-000000000001"}, {});
  REQUIRE_MESSAGE(photo, to_text(photo.problem()));
  CHECK(photo->file == "a.jpg");
  CHECK(private_metadata(tmp.path / "board/a.jpg")->empty());
}
