// Files that lie, stop short or are no pictures: a Problem that says where, never a crash, never half a picture.
#include <doctest/doctest.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <turbojpeg.h>

#include "pictures/photo_file.h"
#include "pictures/picture_bytes.h"
#include "pictures/picture_limits.h"
#include "pictures/png_chunks.h"
#include "pictures_made_for_tests.h"

using namespace boardlore;
using namespace boardlore::made;

namespace {

// A JPEG's height and width lie behind the frame header's marker, length and precision (ITU-T T.81 B.2.2).
std::string with_claimed_size(std::string jpeg, unsigned width, unsigned height) {
  const std::size_t frame = jpeg.find("\xFF\xC0");
  REQUIRE(frame != std::string::npos);
  for (const auto& [at, value] : {std::pair{5, height}, std::pair{7, width}}) {
    jpeg[frame + static_cast<std::size_t>(at)] = static_cast<char>(value >> 8);
    jpeg[frame + static_cast<std::size_t>(at) + 1] = static_cast<char>(value & 255);
  }
  return jpeg;
}

std::string big_endian(unsigned value) {
  return {static_cast<char>(value >> 24), static_cast<char>(value >> 16 & 255), static_cast<char>(value >> 8 & 255),
          static_cast<char>(value & 255)};
}

std::string png_claiming(unsigned width, unsigned height) {
  return std::string(kPngSignature) +
         png_chunk_bytes("IHDR", big_endian(width) + big_endian(height) + std::string("\x08\x06\0\0\0", 5)) +
         png_chunk_bytes("IDAT", "x") + png_chunk_bytes("IEND", "");
}

std::string bmp(int width, int height, std::size_t pixel_bytes) {
  const auto little = [](unsigned value) {
    return std::string{static_cast<char>(value & 255), static_cast<char>(value >> 8 & 255),
                       static_cast<char>(value >> 16 & 255), static_cast<char>(value >> 24)};
  };
  return "BM" + little(static_cast<unsigned>(54 + pixel_bytes)) + little(0) + little(54) + little(40) +
         little(static_cast<unsigned>(width)) + little(static_cast<unsigned>(height)) + std::string("\1\0\x18\0", 4) +
         little(0) + little(0) + little(0) + little(0) + little(0) + little(0) + std::string(pixel_bytes, '\x55');
}

std::string complaint(const std::string& bytes) {
  const Result<Raster> raster = decode_memory(as_bytes(bytes), "a");
  return raster ? "decoded" : to_text(raster.problem());
}

long peak_kib() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return usage.ru_maxrss;
}

}  // namespace

TEST_CASE("a picture cut off at any byte is refused, with where and why") {
  const Raster raster = gradient(64, 48);
  for (const std::string& whole : {*jpeg_bytes(raster, 90), *png_bytes(raster), bmp(8, 8, 8 * 24)}) {
    REQUIRE(complaint(whole) == "decoded");
    // The last two bytes of a JPEG are its end marker; without them nothing of the picture is missing, but
    // nobody can know.
    for (std::size_t length = 0; length < whole.size(); ++length) {
      const Result<Raster> cut = decode_memory(as_bytes(whole.substr(0, length)), "cut.jpg");
      INFO(length, " of ", whole.size());
      REQUIRE_FALSE(cut);
      CHECK(cut.problem().file == "cut.jpg");
      CHECK_FALSE(cut.problem().where.empty());
      CHECK_FALSE(cut.problem().expected.empty());
    }
  }
  const std::string jpeg = *jpeg_bytes(raster, 90);
  CHECK(complaint(jpeg.substr(0, jpeg.size() / 2)).find("the file ends early") != std::string::npos);
  CHECK_FALSE(decode_preview_memory(as_bytes(jpeg.substr(0, jpeg.size() / 2)), "a", 1));
}

TEST_CASE("a header that claims a vast picture over a little data is refused before memory is asked for") {
  const std::string jpeg = *jpeg_bytes(gradient(64, 48), 90);
  const long before = peak_kib();
  CHECK(complaint(with_claimed_size(jpeg, 60000, 60000)) ==
        "a at JPEG frame header: expected at most 400 megapixels, found 60000 x 60000 px");
  CHECK(complaint(with_claimed_size(jpeg, 65535, 100)).find("65500 pixels") != std::string::npos);
  CHECK(complaint(with_claimed_size(jpeg, 20000, 20000)).find("a file long enough for 20000 x 20000 px") != std::string::npos);
  CHECK(complaint(with_claimed_size(jpeg, 0, 10)) != "decoded");
  CHECK(complaint(with_claimed_size(jpeg, 640, 480)).find("the file ends early") != std::string::npos);
  CHECK(complaint(png_claiming(60000, 60000)).find("at most 400 megapixels") != std::string::npos);
  CHECK(complaint(png_claiming(20000, 20000)).find("a file long enough for 400000000 pixels") != std::string::npos);
  CHECK(complaint(png_claiming(0x7FFFFFFF, 0x7FFFFFFF)) != "decoded");
  CHECK(complaint(bmp(20000, 20000, 64)).find("a file long enough") != std::string::npos);
  CHECK(complaint(bmp(8, -2147483647 - 1, 64)) != "decoded");
  // Any of these as RGBA would be 1.6 GB and more.
  CHECK(peak_kib() - before < 100 * 1024);
}

TEST_CASE("what is no picture is called so") {
  for (const std::string& text : {std::string("hello"), std::string(5000, '\0'), std::string("\xFF\xD8"),
                                  std::string("%PDF-1.7\n"), std::string("<svg/>")})
    CHECK(complaint(text) == "a at byte 0: expected a picture (JPEG, PNG, HEIC, BMP, GIF or TGA), found something else");
  CHECK(complaint("\xFF\xD8\xFF\xE0garbage garbage garbage") != "decoded");
  CHECK(complaint("GIF89a") != "decoded");
}

TEST_CASE("damage inside is told, not shown as a wrong picture") {
  const Raster raster = gradient(320, 240);
  std::string png = *png_bytes(raster);
  png[png.size() / 2] = static_cast<char>(png[png.size() / 2] ^ 1);
  CHECK(complaint(png).find("damaged IDAT chunk") != std::string::npos);
}

TEST_CASE("a JPEG flipped at any byte gives a picture or a Problem") {
  const std::string jpeg = with_orientation(*jpeg_bytes(gradient(40, 24), 90), 6);
  for (std::size_t at = 0; at < jpeg.size(); ++at)
    for (int value : {0x00, 0xFF, 0x80}) {
      std::string flipped = jpeg;
      flipped[at] = static_cast<char>(value);
      const Result<Raster> raster = decode_memory(as_bytes(flipped), "a");
      if (raster) CHECK(raster->rgba.size() == 4u * static_cast<unsigned>(raster->width_px * raster->height_px));
    }
}

TEST_CASE("a progressive JPEG of endless passes is refused") {
  // A pass costs a few bytes and a walk over the whole picture.
  const Raster raster = gradient(16, 16);
  unsigned char* buffer = nullptr;
  unsigned long size = 0;
  const tjhandle turbo = tjInitCompress();
  REQUIRE(tjCompress2(turbo, raster.rgba.data(), 16, 0, 16, TJPF_RGBA, &buffer, &size, TJSAMP_444, 90,
                      TJFLAG_PROGRESSIVE) == 0);
  const std::string jpeg(reinterpret_cast<const char*>(buffer), size);
  tjFree(buffer);
  tjDestroy(turbo);
  const std::size_t scan = jpeg.find("\xFF\xDA"), behind = jpeg.find("\xFF\xC4", scan);
  REQUIRE(behind != std::string::npos);
  const auto with_passes = [&](int more) {
    std::string passes;
    for (int pass = 0; pass < more; ++pass) passes += jpeg.substr(scan, behind - scan);
    return jpeg.substr(0, behind) + passes + jpeg.substr(behind);
  };
  CHECK(complaint(jpeg) == "decoded");
  CHECK(complaint(with_passes(20)) == "decoded");
  CHECK(complaint(with_passes(10'000)).find("at most 200 passes") != std::string::npos);
}

TEST_CASE("files that cannot be read say why") {
  const Folder folder;
  const auto missing = decode_full(folder.path() / "none.jpg");
  REQUIRE_FALSE(missing);
  CHECK(to_text(missing.problem()).find("No such file") != std::string::npos);
  CHECK(missing.problem().outcome == Outcome::bad_input);
  CHECK(decode_full(folder.path()).problem().found == "a folder or device");
  CHECK(decode_full(folder.put("empty.jpg", "")).problem().found == "an empty file");
  REQUIRE(::mkfifo((folder.path() / "pipe.jpg").c_str(), 0600) == 0);
  CHECK(decode_full(folder.path() / "pipe.jpg").problem().found == "a folder or device");  // and did not hang
  // Sparse: a file that is large only by its length.
  const auto large = folder.put("large.jpg", "\xFF\xD8\xFF");
  std::filesystem::resize_file(large, kMaxPictureFileBytes + 1);
  CHECK(decode_full(large).problem().expected == "at most 512 MiB");
}

TEST_CASE("a picture that cannot be written leaves the old one and no crumbs") {
  const Folder folder;
  const auto path = folder.put("a.png", "old");
  CHECK_FALSE(write_png(path, Raster{3, 3, {}}));
  CHECK(file_text(path) == "old");
  CHECK_FALSE(write_png(folder.path() / "none" / "a.png", gradient(3, 3)));
  REQUIRE(write_png(path, gradient(3, 3)));
  CHECK(*decode_full(path) == gradient(3, 3));
  CHECK(std::distance(std::filesystem::directory_iterator(folder.path()), {}) == 1);
}
