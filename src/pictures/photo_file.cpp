#include "pictures/photo_file.h"

#include <algorithm>
#include <new>

#include "pictures/decoders.h"
#include "pictures/exif_fields.h"
#include "pictures/exif_orientation.h"
#include "pictures/heif_blocks.h"
#include "pictures/picture_bytes.h"
#include "pictures/pyramid.h"
#include "pictures/sha256.h"

namespace boardlore {
namespace {

Problem not_a_picture(const std::string& name) {
  return {name, "byte 0", "a picture (JPEG, PNG, HEIC, BMP, GIF or TGA)", "something else"};
}

Raster halved_to(Raster raster, int min_side_px) {
  while (std::min((raster.width_px + 1) / 2, (raster.height_px + 1) / 2) >= min_side_px &&
         std::min(raster.width_px, raster.height_px) > 1)
    raster = halved(raster);
  return raster;
}

Result<Raster> decode(std::span<const std::byte> bytes, const std::string& name, int min_side_px,
                      const ProgressFn& progress, std::stop_token stop) {
  const PictureFormat format = picture_format(bytes);
  if (format == PictureFormat::unknown) return not_a_picture(name);
  if (stop.stop_requested()) return stopped_problem(name);
  const int orientation =
      format == PictureFormat::heif ? 1 : exif_fields(exif_block(bytes, name)).orientation;
  const DecodeJob job{bytes, name, orientation, min_side_px, progress, std::move(stop)};
  try {
    if (format == PictureFormat::jpeg) return decode_jpeg(job);
    Result<Raster> raster = format == PictureFormat::heif ? decode_heif(job) : decode_stb(job);
    if (!raster || min_side_px <= 0) return raster;
    return halved_to(*std::move(raster), min_side_px);
  } catch (const std::bad_alloc&) {
    return Problem{name, "", "memory for the picture", "too little", Outcome::system_failed};
  }
}

// libheif has turned the picture: its Exif tells the time only.
ExifFields heif_fields(std::span<const std::byte> bytes, const std::string& name) {
  ExifFields fields;
  if (const auto blocks = heif_blocks(bytes, name))
    for (const HeifBlock& block : *blocks)
      if (block.type == "Exif") fields = exif_fields(block.tiff());
  fields.orientation = 1;
  return fields;
}

}  // namespace

Problem stopped_problem(const std::string& name) { return {name, "", "", kStopped, Outcome::finding}; }

Result<PictureInfo> probe_picture(const std::filesystem::path& path) {
  const auto bytes = read_picture_bytes(path);
  if (!bytes) return bytes.problem();
  const std::string name = path.string();
  PictureInfo info;
  info.format = picture_format(*bytes);
  if (info.format == PictureFormat::unknown) return not_a_picture(name);
  const Result<StoredSize> size = info.format == PictureFormat::jpeg   ? jpeg_size(*bytes, name)
                                  : info.format == PictureFormat::heif ? heif_size(*bytes, name)
                                                                       : stb_size(*bytes, name);
  if (!size) return size.problem();
  info.stored_width_px = size->width_px;
  info.stored_height_px = size->height_px;
  const ExifFields exif = info.format == PictureFormat::heif ? heif_fields(*bytes, name)
                                                              : exif_fields(exif_block(*bytes, name));
  info.orientation = exif.orientation;
  info.mirrored = orientation_mirrors(info.orientation);
  const bool swaps = orientation_swaps_sides(info.orientation);
  info.width_px = swaps ? size->height_px : size->width_px;
  info.height_px = swaps ? size->width_px : size->height_px;
  info.file_bytes = bytes->size();
  info.sha256 = sha256_of(*bytes);
  info.taken_text = exif.taken_text;
  info.taken_at = exif_time(exif.taken_text, exif.taken_offset);
  if (info.taken_at) {
    info.taken_offset = exif.taken_offset;
  } else if (!exif.taken_offset.empty()) {
    info.taken_at = exif_time(exif.taken_text, "");  // an offset nobody can read counts as none
  }
  info.taken_at_is_local = info.taken_at && info.taken_offset.empty();
  return info;
}

Result<Raster> decode_full(const std::filesystem::path& path, const ProgressFn& progress, std::stop_token stop) {
  const auto bytes = read_picture_bytes(path);
  if (!bytes) return bytes.problem();
  return decode(*bytes, path.string(), 0, progress, std::move(stop));
}

Result<Raster> decode_preview(const std::filesystem::path& path, int min_side_px, std::stop_token stop) {
  const auto bytes = read_picture_bytes(path);
  if (!bytes) return bytes.problem();
  return decode_preview_memory(*bytes, path.string(), min_side_px, std::move(stop));
}

Result<Raster> decode_memory(std::span<const std::byte> bytes, const std::string& name) {
  return decode(bytes, name, 0, {}, {});
}

Result<Raster> decode_preview_memory(std::span<const std::byte> bytes, const std::string& name, int min_side_px,
                                     std::stop_token stop) {
  return decode(bytes, name, std::max(1, min_side_px), {}, std::move(stop));
}

}  // namespace boardlore
