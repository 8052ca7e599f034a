// What must not leave the shop is planted in every place a file has for it and searched for in the bytes.
#include <doctest/doctest.h>

#include <algorithm>
#include <exiv2/exiv2.hpp>

#include "pictures/jpeg_segments.h"
#include "pictures/photo_file.h"
#include "pictures/png_chunks.h"
#include "pictures/scrub.h"
#include "pictures_made_for_tests.h"

using namespace boardlore;
using namespace boardlore::made;

namespace {

const std::string kSecret = "ZQ7731-PLANTED";

bool holds_secret(const std::string& bytes) {
  std::string wide;  // XP* tags are UTF-16
  for (char letter : kSecret) wide += {letter, '\0'};
  return bytes.find(kSecret) != std::string::npos || bytes.find(wide) != std::string::npos;
}

bool names(const std::vector<std::string>& found, const std::string& what) {
  return std::any_of(found.begin(), found.end(), [&](const std::string& line) { return line.find(what) != std::string::npos; });
}

// As a camera and a picture editor would leave it, written by Exiv2.
std::string with_camera_metadata(const Folder& folder, const std::string& jpeg) {
  const auto path = folder.put("camera.jpg", jpeg);
  const auto image = Exiv2::ImageFactory::open(path.string());
  image->readMetadata();
  Exiv2::ExifData& exif = image->exifData();
  exif["Exif.Image.Orientation"] = std::uint16_t{6};
  exif["Exif.Image.Make"] = kSecret;
  exif["Exif.Image.Artist"] = kSecret;
  exif["Exif.Image.ImageDescription"] = kSecret;
  exif["Exif.Photo.BodySerialNumber"] = kSecret;
  exif["Exif.Photo.CameraOwnerName"] = kSecret;
  exif["Exif.Photo.ImageUniqueID"] = kSecret;
  exif["Exif.Photo.UserComment"] = "charset=Ascii " + kSecret;
  exif["Exif.Photo.DateTimeOriginal"] = "2026:03:04 10:20:30";
  exif["Exif.Photo.OffsetTimeOriginal"] = "+01:00";
  exif["Exif.GPSInfo.GPSLatitude"] = "48/1 12/1 30/1";
  exif["Exif.GPSInfo.GPSAreaInformation"] = "charset=Ascii " + kSecret;
  Exiv2::ExifThumb(exif).setJpegThumbnail(reinterpret_cast<const Exiv2::byte*>(jpeg.data()), static_cast<long>(jpeg.size()));
  image->xmpData()["Xmp.dc.description"] = kSecret;
  image->iptcData()["Iptc.Application2.City"] = kSecret;
  image->setComment(kSecret);
  image->writeMetadata();
  return file_text(path);
}

std::string small_icc_profile() {
  std::string profile(200, '\0');
  profile[3] = static_cast<char>(200);
  profile.replace(36, 4, "acsp");
  return profile;
}

// Every pixel, so that "the picture is untouched" is more than a claim.
Raster pixels_of(const std::string& bytes) {
  const Result<Raster> raster = decode_memory(as_bytes(bytes), "a");
  REQUIRE(raster);
  return *raster;
}

std::string scrubbed(const std::string& bytes) {
  const Result<std::string> copy = scrubbed_bytes(as_bytes(bytes), "a");
  if (!copy) FAIL(to_text(copy.problem()));
  return *copy;
}

std::vector<std::string> found_in(const std::string& bytes) {
  const auto found = private_metadata_of(as_bytes(bytes), "a");
  REQUIRE(found);
  return *found;
}

}  // namespace

TEST_CASE("a scrubbed JPEG holds nothing of what a camera and an editor wrote, and the same picture") {
  const Folder folder;
  const std::string taken = with_camera_metadata(folder, *jpeg_bytes(gradient(64, 48), 90)) + "behind " + kSecret;
  REQUIRE(holds_secret(taken));
  const auto found = found_in(taken);
  for (const char* what : {"GPS position", "serial number", "owner or author", "comment", "unique picture number",
                           "thumbnail", "time of taking", "XMP packet", "IPTC", "21 bytes behind the end"})
    CHECK_MESSAGE(names(found, what), what);
  for (const std::string& line : found) CHECK_FALSE(holds_secret(line));

  const std::string copy = scrubbed(taken);
  CHECK_FALSE(holds_secret(copy));
  CHECK(copy.find("2026:03:04") == std::string::npos);
  CHECK(found_in(copy).empty());
  CHECK(pixels_of(copy) == pixels_of(taken));  // the turn is kept
  CHECK(pixels_of(copy).width_px == 48);
  CHECK(scrubbed(copy) == copy);
  // The scan is the same bytes: not encoded again.
  const auto scan_of = [](const std::string& jpeg) {
    const auto segments = jpeg_segments(as_bytes(jpeg), "a");
    for (const JpegSegment& segment : segments->segments)
      if (segment.marker == 0xDA) return std::string(reinterpret_cast<const char*>(segment.scan.data()), segment.scan.size());
    return std::string();
  };
  CHECK(scan_of(copy) == scan_of(taken));
  CHECK(scan_of(copy).size() > 100);
}

TEST_CASE("the time of taking is read before it is scrubbed") {
  const Folder folder;
  with_camera_metadata(folder, *jpeg_bytes(gradient(64, 48), 90));
  const auto info = probe_picture(folder.path() / "camera.jpg");
  REQUIRE(info);
  CHECK(info->taken_text == "2026:03:04 10:20:30");
  CHECK(info->taken_offset == "+01:00");
  REQUIRE(info->taken_at);
  CHECK(to_rfc3339(*info->taken_at) == "2026-03-04T09:20:30Z");
  CHECK_FALSE(info->taken_at_is_local);
}

TEST_CASE("nothing planted in any JPEG segment survives, wherever it lies") {
  const std::string plain = *jpeg_bytes(gradient(64, 48), 90);
  const Raster pixels = pixels_of(plain);
  for (int marker = 0xE0; marker <= 0xFE; ++marker) {
    if (marker == 0xEE) continue;  // the Adobe segment has its own case below
    const std::string planted = segment(static_cast<unsigned char>(marker), kSecret);
    INFO(marker);
    // Before the tables, and between the tables and the scan.
    const std::string early = behind_soi(plain, planted);
    const std::size_t scan = plain.find("\xFF\xDA");
    const std::string late = plain.substr(0, scan) + planted + plain.substr(scan);
    for (const std::string& taken : {early, late}) {
      CHECK_FALSE(found_in(taken).empty());
      const std::string copy = scrubbed(taken);
      CHECK_FALSE(holds_secret(copy));
      CHECK(pixels_of(copy) == pixels);
    }
  }
}

TEST_CASE("nothing rides along in the segments that are kept") {
  const std::string plain = *jpeg_bytes(gradient(64, 48), 90);
  const std::string jfif = std::string("JFIF\0\1\2\0\0\1\0\1\1\1", 14) + "abc" + kSecret;
  const std::string adobe = std::string("Adobe\0\x64\0\0\0\0\1", 12) + kSecret;
  const std::string icc_header("ICC_PROFILE\0\1\1", 14);
  std::string long_profile = small_icc_profile() + kSecret;  // longer than it says
  const std::string orientation = std::string("Exif\0\0", 6) + exif_block_with_orientation(3) + kSecret;
  for (const std::string& planted : {segment(0xE0, jfif), segment(0xEE, adobe), segment(0xE2, icc_header + kSecret),
                                     segment(0xE2, icc_header + long_profile), segment(0xE1, orientation)}) {
    const std::string taken = behind_soi(plain, planted);
    INFO(planted.substr(4, 11));
    CHECK_FALSE(found_in(taken).empty());
    const std::string copy = scrubbed(taken);
    CHECK_FALSE(holds_secret(copy));
    CHECK(found_in(copy).empty());
    CHECK(pixels_of(copy) == pixels_of(taken));
  }
}

TEST_CASE("bytes hidden at the end of the scan are gone, and the picture is the same bit for bit") {
  const std::string plain = *jpeg_bytes(gradient(64, 48), 90);
  const std::string taken = plain.substr(0, plain.size() - 2) + kSecret + "\xFF\xD9";
  REQUIRE(pixels_of(taken) == pixels_of(plain));
  const std::string copy = scrubbed(with_orientation(taken, 6));
  CHECK_FALSE(holds_secret(copy));
  CHECK(pixels_of(copy) == pixels_of(with_orientation(plain, 6)));
}

TEST_CASE("a second picture behind the first, as phones put there, is cut off") {
  const std::string plain = *jpeg_bytes(gradient(64, 48), 90);
  const std::string taken = plain + *jpeg_bytes(gradient(32, 32), 90);
  CHECK(names(found_in(taken), "bytes behind the end of the picture"));
  CHECK(scrubbed(taken).size() <= plain.size());
}

TEST_CASE("a colour profile stays, also one of many pieces") {
  std::string profile(150'000, '\x11');
  profile.replace(0, 4, std::string("\0\x02\x49\xF0", 4));
  profile.replace(36, 4, "acsp");
  std::string pieces;
  for (int piece = 0; piece < 3; ++piece)
    pieces += segment(0xE2, std::string("ICC_PROFILE\0", 12) + static_cast<char>(piece + 1) + '\3' +
                                profile.substr(static_cast<std::size_t>(piece) * 50'000, 50'000));
  const std::string copy = scrubbed(behind_soi(*jpeg_bytes(gradient(16, 16), 90), pieces));
  std::string kept;
  const auto segments = jpeg_segments(as_bytes(copy), "a");
  for (const JpegSegment& s : segments->segments)
    if (s.starts_with("ICC_PROFILE")) kept += std::string(reinterpret_cast<const char*>(s.data.data()), s.data.size()).substr(14);
  CHECK(kept == profile);
}

TEST_CASE("a scrubbed PNG keeps pixels, turn and profile and nothing else") {
  const std::string plain = *png_bytes(gradient(30, 20));
  const std::size_t behind_header = 8 + 25;
  std::string chunks;
  for (const char* type : {"tEXt", "zTXt", "iTXt", "tIME", "prVt", "fcTL", "dSIG"}) chunks += png_chunk_bytes(type, kSecret);
  chunks += png_chunk_bytes("eXIf", exif_block_with_orientation(6) + kSecret);
  chunks += png_chunk_bytes("iCCP", kSecret + std::string("\0\0compressed", 12));
  const std::string taken = plain.substr(0, behind_header) + chunks + plain.substr(behind_header) + kSecret;
  const auto found = found_in(taken);
  for (const char* what : {"tEXt", "zTXt", "iTXt", "time of last change", "prVt", "fcTL", "14 bytes behind"})
    CHECK_MESSAGE(names(found, what), what);
  const std::string copy = scrubbed(taken);
  CHECK_FALSE(holds_secret(copy));
  CHECK(found_in(copy).empty());
  CHECK(copy.find("iCCP") != std::string::npos);
  CHECK(pixels_of(copy) == pixels_of(taken));
  CHECK(pixels_of(copy).width_px == 20);
}

TEST_CASE("what cannot be scrubbed is refused") {
  const std::string jpeg = *jpeg_bytes(gradient(64, 48), 90);
  CHECK_FALSE(scrubbed_bytes(as_bytes(jpeg.substr(0, jpeg.size() - 40)), "a"));
  CHECK_FALSE(scrubbed_bytes(as_bytes("GIF89a and more"), "a"));
  CHECK_FALSE(scrubbed_bytes(as_bytes("text"), "a"));
  CHECK_FALSE(private_metadata_of(as_bytes("text"), "a"));
}

TEST_CASE("a covered region is gone from the new file, in upright pixels") {
  const Folder folder;
  const auto in = folder.put("in.jpg", with_camera_metadata(folder, *jpeg_bytes(gradient(64, 48), 95)));
  const auto out = folder.path() / "out.jpg";
  REQUIRE(cover_region(in, {{0, 0, 16, 8}, {40, 56, 100, 100}}, out));
  const std::string bytes = file_text(out);
  CHECK_FALSE(holds_secret(bytes));
  CHECK(found_in(bytes).empty());
  const Raster before = pixels_of(file_text(in)), after = pixels_of(bytes);
  REQUIRE(after.width_px == 48);
  REQUIRE(after.height_px == 64);
  for (const auto& [x, y] : {std::pair{1, 1}, std::pair{14, 6}, std::pair{46, 62}})
    for (int channel = 0; channel < 3; ++channel) CHECK(std::abs(after.pixel(x, y)[channel] - 48) <= 3);
  CHECK(std::abs(after.pixel(30, 30)[0] - before.pixel(30, 30)[0]) <= 4);
  CHECK_FALSE(cover_region(in, {{100, 100, 200, 200}}, out));
  CHECK_FALSE(cover_region(in, {{10, 10, 10, 20}}, out));
  CHECK(file_text(out) == bytes);
}
