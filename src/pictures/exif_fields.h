// The few Exif fields Boardlore goes by: which way up, and when. Exif is read by Exiv2.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "domain/id.h"

namespace boardlore {

struct ExifFields {
  int orientation = 1;        // 1 to 8
  std::string taken_text;     // DateTimeOriginal
  std::string taken_offset;   // OffsetTimeOriginal, "+01:00"
};

// The TIFF block (starting "II*" or "MM") of a JPEG or PNG; empty: none.
std::span<const std::byte> exif_block(std::span<const std::byte> picture, const std::string& name);

// A block that cannot be read gives the defaults: a photo without a readable Exif is still a photo.
ExifFields exif_fields(std::span<const std::byte> block);

// "2026:03:04 10:20:30" and "+01:00" to UTC; without an offset the local time is read as if it were UTC.
// nullopt: not a date ("0000:00:00 00:00:00", blanks).
std::optional<Timestamp> exif_time(const std::string& text, const std::string& offset);

}  // namespace boardlore
