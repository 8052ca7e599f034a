#include "pictures/scrub.h"

#include <algorithm>

#include "pictures/encode.h"
#include "pictures/heif_blocks.h"
#include "pictures/photo_file.h"
#include "pictures/picture_bytes.h"
#include "pictures/scrub_parts.h"

namespace boardlore {
namespace {

// Kept below the quality at which block edges show, above the size that a layer would suffer from.
constexpr int kCoveredQuality = 92;
constexpr std::uint8_t kCoverGrey = 48;

Problem no_way_for(std::span<const std::byte> bytes, const std::string& name) {
  return {name, "byte 0", "a JPEG or PNG", picture_format_name(picture_format(bytes)) + ", which can only be written anew as JPEG"};
}

Result<std::vector<std::string>> private_in_heif(std::span<const std::byte> bytes, const std::string& name) {
  const Result<std::vector<HeifBlock>> blocks = heif_blocks(bytes, name);
  if (!blocks) return blocks.problem();
  Findings found;
  for (const HeifBlock& block : *blocks) {
    if (block.type == "Exif")
      found.add_exif(block.tiff());
    else
      found.add(block.type == "mime" ? "XMP packet" : block.type + " block of unknown content");
  }
  return std::move(found).list();
}

}  // namespace

Result<std::string> scrubbed_bytes(std::span<const std::byte> bytes, const std::string& name) {
  switch (picture_format(bytes)) {
    case PictureFormat::jpeg: return scrubbed_jpeg(bytes, name);
    case PictureFormat::png: return scrubbed_png(bytes, name);
    default: return no_way_for(bytes, name);
  }
}

Result<std::string> scrubbed_copy_bytes(const std::filesystem::path& path) {
  const auto bytes = read_picture_bytes(path);
  if (!bytes) return bytes.problem();
  return scrubbed_bytes(*bytes, path.string());
}

Result<std::vector<std::string>> private_metadata_of(std::span<const std::byte> bytes, const std::string& name) {
  switch (picture_format(bytes)) {
    case PictureFormat::jpeg: return private_in_jpeg(bytes, name);
    case PictureFormat::png: return private_in_png(bytes, name);
    case PictureFormat::heif: return private_in_heif(bytes, name);
    default: return no_way_for(bytes, name);
  }
}

Result<std::vector<std::string>> private_metadata(const std::filesystem::path& path) {
  const auto bytes = read_picture_bytes(path);
  if (!bytes) return bytes.problem();
  return private_metadata_of(*bytes, path.string());
}

Result<Raster> covered(Raster raster, const std::vector<PixelRect>& rects) {
  for (const PixelRect& rect : rects) {
    const PixelRect seen{std::max(rect.left, 0), std::max(rect.top, 0), std::min(rect.right, raster.width_px),
                         std::min(rect.bottom, raster.height_px)};
    if (seen.empty())
      return Problem{"", "region " + std::to_string(&rect - rects.data() + 1), "a region that covers part of the picture",
                     "one outside it or without area"};
    for (int y = seen.top; y < seen.bottom; ++y)
      for (int x = seen.left; x < seen.right; ++x) {
        std::uint8_t* pixel = raster.pixel(x, y);
        pixel[0] = pixel[1] = pixel[2] = kCoverGrey;
        pixel[3] = 255;
      }
  }
  return raster;
}

Result<Done> cover_region(const std::filesystem::path& path_in, const std::vector<PixelRect>& rects,
                          const std::filesystem::path& path_out) {
  Result<Raster> raster = decode_full(path_in);
  if (!raster) return raster.problem();
  const Result<Raster> result = covered(*std::move(raster), rects);
  if (!result) {
    Problem problem = result.problem();
    problem.file = path_in.string();
    return problem;
  }
  return write_jpeg(path_out, *result, kCoveredQuality);
}

}  // namespace boardlore
