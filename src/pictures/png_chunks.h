// The chunks of a PNG (PNG specification, section 5), checked: lengths, order of the first and the last,
// checksums. For the decoder (stb_image checks none) and for scrubbing.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "domain/problem.h"

namespace boardlore {

struct PngChunk {
  std::string type;                  // four letters
  std::span<const std::byte> data;   // into the file
  std::size_t at = 0;                // of the length field
  std::size_t end() const { return at + 12 + data.size(); }
};

// From IHDR to IEND. What follows IEND is not looked at. A chunk that is cut off or whose checksum is wrong
// is a Problem.
Result<std::vector<PngChunk>> png_chunks(std::span<const std::byte> bytes, const std::string& name);

// Length, type, data, checksum.
std::string png_chunk_bytes(std::string_view type, std::string_view data);

inline constexpr std::string_view kPngSignature = "\x89PNG\r\n\x1A\n";

}  // namespace boardlore
