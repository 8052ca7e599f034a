// Exif orientation against the standard's table and against another reader.
//
// Sources: CIPA DC-008 (Exif) / TIFF 6.0, tag 0x0112: what side of the scene the 0th row and the 0th column
// show; the pixel map worked out from it. Second witness: Pillow's ImageOps.exif_transpose.
#include <doctest/doctest.h>

#include <array>
#include <cstdio>
#include <cstdlib>

#include "pictures/exif_orientation.h"
#include "pictures/photo_file.h"
#include "pictures/png_chunks.h"
#include "pictures_made_for_tests.h"

using namespace boardlore;
using namespace boardlore::made;

namespace {

// 4 x 3 with a different grey at each place, so that a pixel names where it was stored.
Raster numbered() {
  Raster raster{4, 3, {}};
  for (int i = 0; i < 12; ++i)
    for (int value : {20 * i, 20 * i, 20 * i, 255}) raster.rgba.push_back(static_cast<std::uint8_t>(value));
  return raster;
}

// Each pixel as a block of 16 x 16, so that JPEG's blocks fall on one colour.
Raster in_blocks(const Raster& raster) {
  Raster large{16 * raster.width_px, 16 * raster.height_px, {}};
  for (int y = 0; y < large.height_px; ++y)
    for (int x = 0; x < large.width_px; ++x)
      for (int channel = 0; channel < 4; ++channel) large.rgba.push_back(raster.pixel(x / 16, y / 16)[channel]);
  return large;
}

struct Row {
  int orientation;
  const char* row_0_at;     // the standard's words
  const char* column_0_at;
  int width_px, height_px;  // shown, of a stored 4 x 3
  std::array<std::pair<int, int>, 3> seen;  // where stored (0,0), (3,0), (0,2) are seen
};
const Row kTable[] = {
    {1, "top", "left", 4, 3, {{{0, 0}, {3, 0}, {0, 2}}}},     {2, "top", "right", 4, 3, {{{3, 0}, {0, 0}, {3, 2}}}},
    {3, "bottom", "right", 4, 3, {{{3, 2}, {0, 2}, {3, 0}}}}, {4, "bottom", "left", 4, 3, {{{0, 2}, {3, 2}, {0, 0}}}},
    {5, "left", "top", 3, 4, {{{0, 0}, {0, 3}, {2, 0}}}},     {6, "right", "top", 3, 4, {{{2, 0}, {2, 3}, {0, 0}}}},
    {7, "right", "bottom", 3, 4, {{{2, 3}, {2, 0}, {0, 3}}}}, {8, "left", "bottom", 3, 4, {{{0, 3}, {0, 0}, {2, 3}}}}};

// What edge of what is seen a stored line lies on, from two of its pixels.
std::string edge(std::pair<int, int> a, std::pair<int, int> b, int width, int height) {
  if (a.first == b.first) return a.first == 0 ? "left" : a.first == width - 1 ? "right" : "inside";
  if (a.second == b.second) return a.second == 0 ? "top" : a.second == height - 1 ? "bottom" : "inside";
  return "askew";
}

std::string png_with_orientation(const Raster& raster, int value) {
  const std::string plain = *png_bytes(raster);
  return plain.substr(0, 33) + png_chunk_bytes("eXIf", exif_block_with_orientation(value)) + plain.substr(33);
}

}  // namespace

TEST_CASE("each of the eight orientations puts the 0th row and column where the standard says") {
  for (const Row& row : kTable) {
    INFO("orientation ", row.orientation);
    CHECK(edge(row.seen[0], row.seen[1], row.width_px, row.height_px) == row.row_0_at);
    CHECK(edge(row.seen[0], row.seen[2], row.width_px, row.height_px) == row.column_0_at);
    const auto png = decode_memory(as_bytes(png_with_orientation(numbered(), row.orientation)), "a.png");
    const auto jpeg =
        decode_memory(as_bytes(with_orientation(*jpeg_bytes(in_blocks(numbered()), 95), row.orientation)), "a.jpg");
    REQUIRE(png);
    REQUIRE(jpeg);
    CHECK(png->width_px == row.width_px);
    CHECK(png->height_px == row.height_px);
    CHECK(jpeg->width_px == 16 * row.width_px);
    const int stored_grey[] = {0, 60, 160};
    for (std::size_t i = 0; i < 3; ++i) {
      const auto [x, y] = row.seen[i];
      CHECK(png->pixel(x, y)[0] == stored_grey[i]);
      CHECK(std::abs(jpeg->pixel(16 * x + 8, 16 * y + 8)[0] - stored_grey[i]) <= 2);
    }
    CHECK(orientation_mirrors(row.orientation) ==
          (row.orientation == 2 || row.orientation == 4 || row.orientation == 5 || row.orientation == 7));
  }
}

TEST_CASE("a missing, zero or unknown orientation shows the picture as stored") {
  // Common practice, no source: the standard reserves other values.
  for (int value : {0, 9, 200}) {
    const auto png = decode_memory(as_bytes(png_with_orientation(numbered(), value)), "a.png");
    REQUIRE(png);
    CHECK(*png == numbered());
  }
  CHECK(*decode_memory(as_bytes(*png_bytes(numbered())), "a.png") == numbered());
  CHECK(sane_orientation(-6) == 1);
  CHECK(sane_orientation(1LL << 40) == 1);
}

TEST_CASE("a picture of several batches of rows turns like a small one") {
  Raster raster{37, 53, {}};
  for (int i = 0; i < 37 * 53; ++i)
    for (int value : {i % 256, i / 256, 7, 255}) raster.rgba.push_back(static_cast<std::uint8_t>(value));
  for (int orientation = 1; orientation <= 8; ++orientation) {
    // There and back: 6 and 8 undo each other, the others undo themselves.
    const int back = orientation == 6 ? 8 : orientation == 8 ? 6 : orientation;
    CHECK(upright(upright(raster, orientation), back) == raster);
  }
}

TEST_CASE("Pillow shows the same pixels") {
  if (std::system("/usr/bin/python3 -c 'from PIL import ImageOps' 2>/dev/null") != 0) {
    MESSAGE("skipped: no python3-pil");
    return;
  }
  const Folder folder;
  for (int orientation = 1; orientation <= 8; ++orientation) {
    const std::string stem = (folder.path() / std::to_string(orientation)).string();
    for (const auto& [extension, bytes] :
         {std::pair{".png", png_with_orientation(numbered(), orientation)},
          std::pair{".jpg", with_orientation(*jpeg_bytes(in_blocks(numbered()), 95), orientation)}}) {
      folder.put(std::to_string(orientation) + extension, bytes);
      const std::string command = "/usr/bin/python3 -c \"from PIL import Image, ImageOps; "
                                  "i = ImageOps.exif_transpose(Image.open('" + stem + extension + "')).convert('RGBA'); "
                                  "open('" + stem + ".raw', 'wb').write(i.tobytes()); "
                                  "open('" + stem + ".size', 'w').write('%dx%d' % i.size)\"";
      REQUIRE(std::system(command.c_str()) == 0);
      const auto ours = decode_full(stem + extension);
      REQUIRE(ours);
      INFO(orientation, extension);
      CHECK(file_text(stem + ".size") == std::to_string(ours->width_px) + "x" + std::to_string(ours->height_px));
      const std::string raw = file_text(stem + ".raw");
      REQUIRE(raw.size() == ours->rgba.size());
      int largest = 0;  // both by libjpeg-turbo, perhaps with another IDCT
      for (std::size_t i = 0; i < raw.size(); ++i)
        largest = std::max(largest, std::abs(static_cast<unsigned char>(raw[i]) - ours->rgba[i]));
      CHECK(largest <= 2);
    }
  }
}
