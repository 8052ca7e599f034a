// What is refused before any memory is asked for. A photo comes from outside: a header of a few bytes may
// promise a picture of any size. Each limit is well above what cameras and microscopes write today.
#pragma once

#include <cstdint>
#include <string>

#include "domain/problem.h"

namespace boardlore {

// A 200 MP phone photo is below 60 MiB; 512 MiB leaves room for uncompressed scans.
inline constexpr std::uint64_t kMaxPictureFileBytes = 512ull << 20;
// 400 MP as RGBA is 1.6 GB, the most that a bench machine can be asked for.
inline constexpr std::uint64_t kMaxPicturePixels = 400'000'000;
// The highest side a JPEG can be written with (libjpeg's JPEG_MAX_DIMENSION).
inline constexpr int kMaxPictureSidePx = 65'500;
// A progressive JPEG may hold any number of passes over a large picture in a few bytes each; ten or
// fewer are usual.
inline constexpr int kMaxJpegScans = 200;

// `where` names the field of the header. Zero sides are refused too.
Result<Done> check_picture_size(std::uint64_t width_px, std::uint64_t height_px, const std::string& file,
                                const std::string& where);

}  // namespace boardlore
