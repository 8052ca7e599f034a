// PNG, GIF, BMP, TGA, PSD, PNM and HDR by stb_image, as Debian's libstb exports it.
//
// stb_image takes zeros for what lies behind the end of a file, so a picture that was cut off would come
// back with a black lower part. It is fed through callbacks here, which see it ask for more than there is.
#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <memory>

#define STBI_NO_STDIO
#include <stb/stb_image.h>

#include "pictures/decoders.h"
#include "pictures/exif_orientation.h"
#include "pictures/picture_format.h"
#include "pictures/picture_limits.h"
#include "pictures/png_chunks.h"
#include "pictures/pyramid.h"

namespace boardlore {
namespace {

struct Feed {
  std::span<const std::byte> bytes;
  std::stop_token stop;
  std::size_t at = 0;
  bool asked_past_end = false;

  static int read(void* user, char* data, int size) {
    Feed& feed = *static_cast<Feed*>(user);
    const std::size_t wanted = size > 0 ? static_cast<std::size_t>(size) : 0;
    const std::size_t given = feed.stop.stop_requested() ? 0 : std::min(wanted, feed.bytes.size() - feed.at);
    // stb refills 128 bytes at a time, and only when it has used up what it was given: a short answer is
    // ordinary, an empty one is not, and neither is a short one for a read that is not a refill.
    if (given == 0 || (given < wanted && wanted > 128)) feed.asked_past_end = true;
    if (given != 0) std::memcpy(data, feed.bytes.data() + feed.at, given);
    feed.at += given;
    return static_cast<int>(given);
  }
  static void skip(void* user, int count) {
    Feed& feed = *static_cast<Feed*>(user);
    const auto left = static_cast<long long>(feed.bytes.size() - feed.at);
    if (count > left) feed.asked_past_end = true;
    feed.at = static_cast<std::size_t>(std::clamp<long long>(static_cast<long long>(feed.at) + count, 0,
                                                             static_cast<long long>(feed.bytes.size())));
  }
  static int eof(void* user) {
    const Feed& feed = *static_cast<const Feed*>(user);
    return feed.at >= feed.bytes.size() ? 1 : 0;
  }
};

constexpr stbi_io_callbacks kCallbacks{Feed::read, Feed::skip, Feed::eof};

Problem ends_early(const DecodeJob& job) {
  return {job.name, "byte " + std::to_string(job.bytes.size()),
          "a whole " + picture_format_name(picture_format(job.bytes)),
          "the file ends early (it was cut off, or is still being copied)"};
}

// What a byte of each format can unfold to at most, so that a small file cannot claim a vast picture:
// deflate 1032:1 (zlib's documentation); GIF: 4096 pixels from a 9-bit code; run-length TGA, PSD and HDR:
// 128 pixels from two bytes. Bits a pixel are at least 1.
Result<Done> check_plausible(std::uint64_t pixels, std::span<const std::byte> bytes, const std::string& name) {
  std::uint64_t most_pixels_per_byte = 1;
  switch (picture_format(bytes)) {
    case PictureFormat::png: most_pixels_per_byte = 1032 * 8; break;
    case PictureFormat::gif: most_pixels_per_byte = 4096; break;
    case PictureFormat::bmp: most_pixels_per_byte = 8; break;
    case PictureFormat::tga:
    case PictureFormat::psd:
    case PictureFormat::hdr: most_pixels_per_byte = 128; break;
    default: break;
  }
  if (pixels / most_pixels_per_byte <= bytes.size()) return Done{};
  return Problem{name, picture_format_name(picture_format(bytes)) + " header",
                 "a file long enough for " + std::to_string(pixels) + " pixels",
                 std::to_string(bytes.size()) + " bytes"};
}

}  // namespace

Result<StoredSize> stb_size(std::span<const std::byte> bytes, const std::string& name) {
  const std::string format = picture_format_name(picture_format(bytes));
  if (picture_format(bytes) == PictureFormat::png && bytes.size() >= 24) {
    // Before stb_image says "too large" without a number: width and height of IHDR, big-endian.
    const auto side = [&](std::size_t at) {
      std::uint64_t value = 0;
      for (std::size_t i = at; i < at + 4; ++i) value = value << 8 | std::to_integer<std::uint64_t>(bytes[i]);
      return value;
    };
    const Result<Done> claimed = check_picture_size(side(16), side(20), name, format + " header");
    if (!claimed) return claimed.problem();
    const Result<Done> plausible = check_plausible(side(16) * side(20), bytes, name);
    if (!plausible) return plausible.problem();
  }
  int width = 0, height = 0, channels = 0;
  Feed feed{bytes, {}};
  if (!stbi_info_from_callbacks(&kCallbacks, &feed, &width, &height, &channels)) {
    const char* reason = stbi_failure_reason();
    return Problem{name, format + " header", "a header that can be read", reason ? reason : "something else"};
  }
  if (width < 0 || height < 0) width = height = 0;
  const Result<Done> size = check_picture_size(static_cast<unsigned>(width), static_cast<unsigned>(height), name,
                                               format + " header");
  if (!size) return size.problem();
  const Result<Done> plausible =
      check_plausible(static_cast<std::uint64_t>(width) * static_cast<std::uint64_t>(height), bytes, name);
  if (!plausible) return plausible.problem();
  return StoredSize{width, height};
}

Result<Raster> decode_stb(const DecodeJob& job) {
  const Result<StoredSize> size = stb_size(job.bytes, job.name);
  if (!size) return size.problem();
  if (picture_format(job.bytes) == PictureFormat::png) {
    // stb_image checks no checksum; a flipped bit would show as a wrong picture.
    const Result<std::vector<PngChunk>> chunks = png_chunks(job.bytes, job.name);
    if (!chunks) return chunks.problem();
  }
  if (job.stop.stop_requested()) return stopped_problem(job.name);
  int width = 0, height = 0, channels = 0;
  Feed feed{job.bytes, job.stop};
  const std::unique_ptr<stbi_uc, void (*)(void*)> pixels(
      stbi_load_from_callbacks(&kCallbacks, &feed, &width, &height, &channels, 4), stbi_image_free);
  if (job.stop.stop_requested()) return stopped_problem(job.name);
  if (feed.asked_past_end) return ends_early(job);
  if (!pixels) {
    const char* reason = stbi_failure_reason();
    return Problem{job.name, "byte " + std::to_string(feed.at),
                   "a " + picture_format_name(picture_format(job.bytes)) + " that can be decoded",
                   reason ? reason : "something else"};
  }
  if (width != size->width_px || height != size->height_px)
    return Problem{job.name, "header", "one size", "two sizes that differ"};
  UprightWriter writer(width, height, job.orientation);
  writer.add_rows(pixels.get(), height);
  if (job.progress) job.progress(1);
  return std::move(writer).take();
}

}  // namespace boardlore
