// A picture file as bytes: read whole, once, after its size was checked.
#pragma once

#include <filesystem>
#include <span>
#include <string_view>
#include <vector>

#include "domain/problem.h"

namespace boardlore {

// Refuses what is not a regular file, is empty, or is above kMaxPictureFileBytes.
Result<std::vector<std::byte>> read_picture_bytes(const std::filesystem::path& path);

// Temporary file beside `path`, flushed to disk, renamed over it. The old file stays where this fails.
Result<Done> write_picture_bytes(const std::filesystem::path& path, std::string_view bytes);

}  // namespace boardlore
