// The codecs behind photo_file.h: one header reader and one decoder a library. Not for other rooms.
//
// Every decoder checks the sizes its header gives before it asks for memory, and gives the picture as
// stored; turning is done by the UprightWriter it is handed rows through.
#pragma once

#include <cstddef>
#include <span>
#include <stop_token>
#include <string>

#include "domain/problem.h"
#include "pictures/progress.h"
#include "pictures/raster.h"

namespace boardlore {

struct StoredSize {
  int width_px = 0, height_px = 0;
};

struct DecodeJob {
  std::span<const std::byte> bytes;
  const std::string& name;  // for Problems
  int orientation = 1;
  int min_side_px = 0;      // 0: full size; else as decode_preview
  const ProgressFn& progress;
  std::stop_token stop;
};

Result<StoredSize> jpeg_size(std::span<const std::byte> bytes, const std::string& name);
Result<Raster> decode_jpeg(const DecodeJob& job);

// PNG, GIF (first frame), BMP, TGA, PSD, PNM, HDR.
Result<StoredSize> stb_size(std::span<const std::byte> bytes, const std::string& name);
Result<Raster> decode_stb(const DecodeJob& job);

// Already turned by libheif. Without libheif: a Problem that says so.
Result<StoredSize> heif_size(std::span<const std::byte> bytes, const std::string& name);
Result<Raster> decode_heif(const DecodeJob& job);

Problem stopped_problem(const std::string& name);

}  // namespace boardlore
