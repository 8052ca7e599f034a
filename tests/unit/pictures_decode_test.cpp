#include <doctest/doctest.h>
#include <turbojpeg.h>

#include "pictures/jpeg_quick_preview.h"
#include "pictures/photo_file.h"
#include "pictures/sha256.h"
#include "pictures_made_for_tests.h"

using namespace boardlore;
using namespace boardlore::made;

TEST_CASE("a PNG comes back pixel for pixel, a JPEG within a few grey levels") {
  const Raster raster = gradient(75, 41);
  const Result<Raster> png = decode_memory(as_bytes(*png_bytes(raster)), "a.png");
  REQUIRE(png);
  CHECK(*png == raster);
  const Result<Raster> jpeg = decode_memory(as_bytes(*jpeg_bytes(raster, 95)), "a.jpg");
  REQUIRE(jpeg);
  CHECK(largest_difference(*jpeg, raster) <= 4);
}

TEST_CASE("a PNG keeps its transparency") {
  Raster raster = gradient(5, 4);
  raster.pixel(2, 1)[3] = 17;
  const Result<Raster> png = decode_memory(as_bytes(*png_bytes(raster)), "a.png");
  REQUIRE(png);
  CHECK(*png == raster);
}

TEST_CASE("a preview is the photo, smaller, with at least the pixels asked for") {
  const Raster raster = gradient(800, 600);
  for (const std::string& bytes : {*jpeg_bytes(raster, 95), *png_bytes(raster)}) {
    for (const auto& [asked, width, height] : {std::array{75, 100, 75}, std::array{76, 200, 150},
                                               std::array{300, 400, 300}, std::array{301, 800, 600},
                                               std::array{5000, 800, 600}}) {
      const Result<Raster> preview = decode_preview_memory(as_bytes(bytes), "a", asked);
      REQUIRE(preview);
      CHECK(preview->width_px == width);
      CHECK(preview->height_px == height);
      CHECK(largest_difference(*preview, gradient(width, height)) <= 5);
    }
  }
}

TEST_CASE("a preview of a photo taken upright is upright") {
  const std::string bytes = with_orientation(*jpeg_bytes(gradient(800, 600), 95), 6);
  const Result<Raster> preview = decode_preview_memory(as_bytes(bytes), "a.jpg", 75);
  REQUIRE(preview);
  CHECK(preview->width_px == 75);
  CHECK(preview->height_px == 100);
  // Turned a quarter clockwise: what was at the left is at the top, what was at the bottom is at the left.
  CHECK(preview->pixel(37, 2)[0] < 60);
  CHECK(preview->pixel(2, 50)[1] > 190);
}

TEST_CASE("probing tells kind, sizes, turn, time and hash without decoding") {
  const Folder folder;
  const std::string jpeg = with_orientation(*jpeg_bytes(gradient(64, 48), 90), 7);
  const auto info = probe_picture(folder.put("a.jpg", jpeg));
  REQUIRE(info);
  CHECK(info->format == PictureFormat::jpeg);
  CHECK(info->stored_width_px == 64);
  CHECK(info->width_px == 48);
  CHECK(info->height_px == 64);
  CHECK(info->orientation == 7);
  CHECK(info->mirrored);
  CHECK_FALSE(info->taken_at);
  CHECK(info->sha256 == sha256_of(as_bytes(jpeg)));
  CHECK(info->file_bytes == jpeg.size());
  const auto plain = probe_picture(folder.put("b.png", *png_bytes(gradient(3, 2))));
  REQUIRE(plain);
  CHECK(plain->format == PictureFormat::png);
  CHECK(plain->orientation == 1);
  CHECK_FALSE(plain->mirrored);
}

TEST_CASE("the hash of a file is SHA-256") {
  // Source: FIPS 180-4 example "abc" (NIST example values, from memory), and the empty message.
  const Folder folder;
  CHECK(*sha256_of_file(folder.put("abc", "abc")) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(sha256_of({}) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  CHECK_FALSE(sha256_of_file(folder.path() / "none"));
}

TEST_CASE("decoding says how far it is and can be stopped") {
  const Folder folder;
  const auto path = folder.put("a.jpg", *jpeg_bytes(gradient(640, 480), 90));
  std::vector<double> told;
  REQUIRE(decode_full(path, [&](double fraction) { told.push_back(fraction); }));
  REQUIRE(told.size() > 10);
  CHECK(std::is_sorted(told.begin(), told.end()));
  CHECK(told.back() == doctest::Approx(1));
  std::stop_source stop;
  int calls = 0;
  const auto stopped = decode_full(path, [&](double) { ++calls, stop.request_stop(); }, stop.get_token());
  REQUIRE_FALSE(stopped);
  CHECK(stopped.problem().found == kStopped);
  CHECK(calls == 1);
}

TEST_CASE("the quick preview shows what libjpeg-turbo shows at an eighth") {
  // Second witness: libjpeg-turbo's own scaled decoding. Chroma differs a little: it reads some detail there
  // that the quick way leaves out, so colours are compared smoothly shaded and grey exactly.
  struct Kind {
    int sampling, flags, restart_rows, tolerance;
  };
  for (const auto& [sampling, flags, restart_rows, tolerance] :
       {Kind{TJSAMP_420, 0, 0, 4}, Kind{TJSAMP_422, 0, 0, 4}, Kind{TJSAMP_444, 0, 0, 1}, Kind{TJSAMP_440, 0, 0, 4},
        Kind{TJSAMP_GRAY, 0, 0, 0}, Kind{TJSAMP_420, 0, 3, 4}, Kind{TJSAMP_420, TJFLAG_PROGRESSIVE, 0, 4}}) {
    Raster raster = gradient(1003, 517);
    std::uint32_t state = 7;  // noise, so that blocks are full of coefficients
    if (sampling == TJSAMP_GRAY || sampling == TJSAMP_444)
      for (std::size_t i = 0; i < raster.rgba.size(); ++i) {
        state = state * 1664525u + 1013904223u;
        if (i % 4 != 3) raster.rgba[i] = static_cast<std::uint8_t>(raster.rgba[i] + (state >> 24) % 40);
      }
    if (restart_rows != 0) ::setenv("TJ_RESTART", std::to_string(restart_rows).c_str(), 1);
    unsigned char* buffer = nullptr;
    unsigned long size = 0;
    const tjhandle turbo = tjInitCompress();
    REQUIRE(tjCompress2(turbo, raster.rgba.data(), 1003, 0, 517, TJPF_RGBA, &buffer, &size, sampling, 97, flags) == 0);
    tjDestroy(turbo);
    ::unsetenv("TJ_RESTART");
    const std::string jpeg(reinterpret_cast<const char*>(buffer), size);
    tjFree(buffer);
    CHECK((jpeg.find("\xFF\xDD") != std::string::npos) == (restart_rows != 0));
    Raster theirs{126, 65, std::vector<std::uint8_t>(4 * 126 * 65)};
    const tjhandle decoder = tjInitDecompress();
    REQUIRE(tjDecompress2(decoder, reinterpret_cast<const unsigned char*>(jpeg.data()), jpeg.size(), theirs.rgba.data(),
                          126, 0, 65, TJPF_RGBA, 0) == 0);
    tjDestroy(decoder);
    const auto ours = quick_eighth(as_bytes(jpeg), {});
    const std::string which = "sampling " + std::to_string(sampling) + " restart " + std::to_string(restart_rows);
    INFO(which);
    REQUIRE(ours.has_value() == (flags == 0));  // progressive is left to libjpeg
    if (ours) CHECK(largest_difference(*ours, theirs) <= tolerance);
    CHECK(largest_difference(*decode_preview_memory(as_bytes(jpeg), "a", 65), theirs) <= tolerance);
    // Cut off or damaged, it is left to libjpeg, which says why.
    CHECK_FALSE(quick_eighth(as_bytes(jpeg.substr(0, jpeg.size() / 2) + "\xFF\xD9"), {}));
  }
}
