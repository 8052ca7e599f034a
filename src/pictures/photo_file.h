// Opening a photo: what it is, and its pixels the right way up.
//
// The technician drops whatever the camera wrote; the photo stays as taken on disk and is evidence, so
// nothing here changes it. JPEG is decoded by libjpeg-turbo, HEIC by libheif where it is there, the
// rest by stb_image. A file that ends early, lies about its size, is no picture or is absurdly large is a
// Problem that names the file, the byte or header field, and what was expected: half a picture is never
// passed on as a whole one. Limits: picture_limits.h.
#pragma once

#include <filesystem>
#include <optional>
#include <span>
#include <stop_token>
#include <string>

#include "domain/id.h"
#include "domain/problem.h"
#include "pictures/picture_format.h"
#include "pictures/progress.h"
#include "pictures/raster.h"

namespace boardlore {

struct PictureInfo {
  PictureFormat format = PictureFormat::unknown;
  int stored_width_px = 0, stored_height_px = 0;
  int width_px = 0, height_px = 0;     // upright
  int orientation = 1;                 // 1 to 8; HEIC: 1, libheif has turned it already
  bool mirrored = false;               // the stored picture is a mirror image; shown upright it no longer is
  std::uint64_t file_bytes = 0;
  std::string sha256;                  // of the whole file, 64 lower-case hex digits
  std::string taken_text;              // DateTimeOriginal as written, "2026:03:04 10:20:30"; empty: none
  std::string taken_offset;            // OffsetTimeOriginal, "+01:00"; empty: not known
  std::optional<Timestamp> taken_at;   // UTC where taken_offset is known; else the camera's clock read as if UTC
  bool taken_at_is_local = false;      // taken_at is the camera's local time, its offset unknown: say so
};

// Reads the whole file (for the hash) and the header; decodes no pixel.
Result<PictureInfo> probe_picture(const std::filesystem::path& path);

// The whole photo, upright.
Result<Raster> decode_full(const std::filesystem::path& path, const ProgressFn& progress = {},
                           std::stop_token stop = {});

// A smaller upright picture for at once: the smallest that costs little whose shorter side has at least
// min_side_px, or the full picture where it has not that many. JPEG: 1/8, 1/4, 1/2 or 1/1; others are
// decoded whole and halved. width_px of the preview over width_px of the photo is the scale, up to rounding
// up to whole pixels.
Result<Raster> decode_preview(const std::filesystem::path& path, int min_side_px, std::stop_token stop = {});

// As decode_full, from memory; `name` stands for the file in Problems.
Result<Raster> decode_memory(std::span<const std::byte> bytes, const std::string& name);
// As decode_preview, from memory.
Result<Raster> decode_preview_memory(std::span<const std::byte> bytes, const std::string& name, int min_side_px,
                                     std::stop_token stop = {});

}  // namespace boardlore
