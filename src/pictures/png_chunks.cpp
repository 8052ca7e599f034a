#include "pictures/png_chunks.h"

#include <array>

namespace boardlore {
namespace {

// CRC-32 of ISO 3309 as the PNG specification, annex D, uses it; eight bytes a step (slices), because the
// checksum of a 50 MB photo must not take longer than its decoding.
struct CrcTables {
  std::array<std::array<std::uint32_t, 256>, 8> slice{};
  constexpr CrcTables() {
    for (std::uint32_t n = 0; n < 256; ++n) {
      std::uint32_t c = n;
      for (int k = 0; k < 8; ++k) c = (c & 1) != 0 ? 0xEDB88320u ^ (c >> 1) : c >> 1;
      slice[0][n] = c;
    }
    for (std::uint32_t n = 0; n < 256; ++n)
      for (std::size_t s = 1; s < 8; ++s) slice[s][n] = slice[0][slice[s - 1][n] & 255] ^ (slice[s - 1][n] >> 8);
  }
};
constexpr CrcTables kCrc;

std::uint32_t crc32(std::span<const std::byte> bytes, std::uint32_t crc = 0) {
  const auto at = [&](std::size_t i) { return std::to_integer<std::uint32_t>(bytes[i]); };
  std::uint32_t c = ~crc;
  std::size_t i = 0;
  for (; i + 8 <= bytes.size(); i += 8) {
    const std::uint32_t low = c ^ (at(i) | at(i + 1) << 8 | at(i + 2) << 16 | at(i + 3) << 24);
    c = kCrc.slice[7][low & 255] ^ kCrc.slice[6][low >> 8 & 255] ^ kCrc.slice[5][low >> 16 & 255] ^
        kCrc.slice[4][low >> 24] ^ kCrc.slice[3][at(i + 4)] ^ kCrc.slice[2][at(i + 5)] ^ kCrc.slice[1][at(i + 6)] ^
        kCrc.slice[0][at(i + 7)];
  }
  for (; i < bytes.size(); ++i) c = kCrc.slice[0][(c ^ at(i)) & 255] ^ (c >> 8);
  return ~c;
}

std::uint32_t big_endian_32(std::span<const std::byte> bytes, std::size_t at) {
  std::uint32_t value = 0;
  for (std::size_t i = 0; i < 4; ++i) value = value << 8 | std::to_integer<std::uint32_t>(bytes[at + i]);
  return value;
}

void append_big_endian_32(std::string& text, std::uint32_t value) {
  for (int shift = 24; shift >= 0; shift -= 8) text += static_cast<char>(value >> shift & 255);
}

}  // namespace

Result<std::vector<PngChunk>> png_chunks(std::span<const std::byte> bytes, const std::string& name) {
  std::vector<PngChunk> chunks;
  std::size_t at = kPngSignature.size();
  const auto problem = [&](const char* expected, std::string found) {
    return Problem{name, "byte " + std::to_string(at), expected, std::move(found)};
  };
  while (chunks.empty() || chunks.back().type != "IEND") {
    if (bytes.size() < at || bytes.size() - at < 12)
      return problem("a PNG chunk", "the file ends early (it was cut off, or is still being copied)");
    const std::uint32_t length = big_endian_32(bytes, at);
    if (length > bytes.size() - at - 12)
      return problem("a PNG chunk within the file", "a chunk of " + std::to_string(length) + " bytes, longer than the rest of the file");
    PngChunk chunk;
    for (std::size_t i = 4; i < 8; ++i) {
      const char letter = static_cast<char>(bytes[at + i]);
      if (!((letter >= 'A' && letter <= 'Z') || (letter >= 'a' && letter <= 'z')))
        return problem("a chunk type of four letters", "other bytes");
      chunk.type += letter;
    }
    chunk.data = bytes.subspan(at + 8, length);
    chunk.at = at;
    if (chunks.empty() && chunk.type != "IHDR") return problem("IHDR as the first chunk", chunk.type);
    if (crc32(bytes.subspan(at + 4, length + 4u)) != big_endian_32(bytes, at + 8 + length))
      return problem("a chunk whose checksum is right", "a damaged " + chunk.type + " chunk");
    at = chunk.end();
    chunks.push_back(std::move(chunk));
  }
  return chunks;
}

std::string png_chunk_bytes(std::string_view type, std::string_view data) {
  std::string text;
  append_big_endian_32(text, static_cast<std::uint32_t>(data.size()));
  text += type;
  text += data;
  const std::string_view checked = std::string_view(text).substr(4);
  append_big_endian_32(text, crc32(std::as_bytes(std::span(checked.data(), checked.size()))));
  return text;
}

}  // namespace boardlore
