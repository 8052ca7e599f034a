// The marker segments of a JPEG (ITU-T T.81, annex B), without decoding: where metadata, tables and scan
// data lie. For Exif, for scrubbing, and for saying what private is in a file.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "domain/problem.h"

namespace boardlore {

struct JpegSegment {
  std::uint8_t marker = 0;           // second byte: 0xE1 is APP1, 0xDA start of scan
  std::size_t at = 0;                // of the 0xFF
  std::span<const std::byte> data;   // behind the length field; empty for markers without one
  std::span<const std::byte> scan;   // start of scan only: the entropy-coded data with its restart markers
  bool starts_with(std::string_view text) const;
};

struct JpegSegments {
  std::vector<JpegSegment> segments;      // from SOI to EOI, both in
  std::span<const std::byte> trailing;    // behind EOI
};

// A Problem where a segment is cut off, where a marker is missing, or where the end marker never comes.
Result<JpegSegments> jpeg_segments(std::span<const std::byte> bytes, const std::string& name);

// Only up to the first start of scan, for reading Exif: a damaged picture still has a time and a turn.
// What cannot be read ends the list.
std::vector<JpegSegment> jpeg_header_segments(std::span<const std::byte> bytes);

}  // namespace boardlore
