// Writing pictures: covered copies, before/after sheets, tests' photos.
//
// The file appears whole or not at all: written beside, flushed, renamed. Nothing but pixels goes in: no
// Exif, no time, no program name.
#pragma once

#include <filesystem>
#include <string>

#include "domain/problem.h"
#include "pictures/raster.h"

namespace boardlore {

// quality 1 to 100 (libjpeg's scale), clamped; 4:4:4 from 90 on, 4:2:0 below. Alpha is dropped.
Result<std::string> jpeg_bytes(const Raster& raster, int quality);
Result<std::string> png_bytes(const Raster& raster);

Result<Done> write_jpeg(const std::filesystem::path& path, const Raster& raster, int quality);
Result<Done> write_png(const std::filesystem::path& path, const Raster& raster);

}  // namespace boardlore
