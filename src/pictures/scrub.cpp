#include "pictures/scrub.h"

#include <algorithm>

#include "pictures/encode.h"
#include "pictures/exif_fields.h"
#include "pictures/exif_orientation.h"
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

namespace {

// Clipped to the picture; a Problem where one covers nothing.
Result<std::vector<PixelRect>> seen_parts(const std::vector<PixelRect>& rects, int width_px, int height_px, const std::string& name) {
  std::vector<PixelRect> parts;
  for (const PixelRect& rect : rects) {
    parts.push_back({std::max(rect.left, 0), std::max(rect.top, 0), std::min(rect.right, width_px), std::min(rect.bottom, height_px)});
    if (parts.back().empty())
      return Problem{name, "region " + std::to_string(parts.size()), "a region that covers part of the picture", "one outside it or without area"};
  }
  return parts;
}

// From the photo as it is seen to the pixels as they are stored (exif_orientation.h); sizes as stored.
PixelRect as_stored(const PixelRect& r, int orientation, int width_px, int height_px) {
  const int w = width_px, h = height_px;
  switch (orientation) {
    case 2: return {w - r.right, r.top, w - r.left, r.bottom};
    case 3: return {w - r.right, h - r.bottom, w - r.left, h - r.top};
    case 4: return {r.left, h - r.bottom, r.right, h - r.top};
    case 5: return {r.top, r.left, r.bottom, r.right};
    case 6: return {r.top, h - r.right, r.bottom, h - r.left};
    case 7: return {w - r.bottom, h - r.right, w - r.top, h - r.left};
    case 8: return {w - r.bottom, r.left, w - r.top, r.right};
    default: return r;
  }
}

// The pixels written anew, without loss; the colour profile comes along.
Result<std::string> covered_png(Raster raster, std::span<const std::byte> bytes, const std::string& name) {
  Result<std::string> png = png_bytes(raster);
  const Result<std::string> scrubbed = scrubbed_png(bytes, name);
  if (!png || !scrubbed) return png ? scrubbed.problem() : png.problem();
  return with_profile_of(*png, *scrubbed, name);
}

}  // namespace

Result<std::string> covered_bytes(std::span<const std::byte> bytes, const std::vector<PixelRect>& rects, const std::string& name) {
  const PictureFormat format = picture_format(bytes);
  Result<Raster> raster = decode_memory(bytes, name);
  if (!raster) return raster.problem();
  const Result<std::vector<PixelRect>> parts = seen_parts(rects, raster->width_px, raster->height_px, name);
  if (!parts) return parts.problem();
  if (format != PictureFormat::jpeg) {
    Result<Raster> filled = covered(*std::move(raster), *parts);
    if (!filled) return filled.problem();
    return format == PictureFormat::png ? covered_png(*std::move(filled), bytes, name) : jpeg_bytes(*filled, kCoveredQuality);
  }
  const int orientation = exif_fields(exif_block(bytes, name)).orientation;
  const bool swapped = orientation_swaps_sides(orientation);
  const int width_px = swapped ? raster->height_px : raster->width_px, height_px = swapped ? raster->width_px : raster->height_px;
  std::vector<PixelRect> stored;
  for (const PixelRect& part : *parts) stored.push_back(as_stored(part, orientation, width_px, height_px));
  const Result<std::string> scrubbed = scrubbed_jpeg(bytes, name);
  if (!scrubbed) return scrubbed.problem();
  return jpeg_with_blocks_covered(*scrubbed, stored, kCoverGrey, name);
}

Result<Done> cover_region(const std::filesystem::path& path_in, const std::vector<PixelRect>& rects,
                          const std::filesystem::path& path_out) {
  const auto bytes = read_picture_bytes(path_in);
  if (!bytes) return bytes.problem();
  const Result<std::string> covered = covered_bytes(*bytes, rects, path_in.string());
  if (!covered) return covered.problem();
  return write_picture_bytes(path_out, *covered);
}

}  // namespace boardlore
