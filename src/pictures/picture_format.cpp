#include "pictures/picture_format.h"

#include <array>
#include <string_view>

namespace boardlore {
namespace {

unsigned byte_at(std::span<const std::byte> bytes, std::size_t at) { return std::to_integer<unsigned>(bytes[at]); }

bool has_at(std::span<const std::byte> bytes, std::size_t at, std::string_view text) {
  if (bytes.size() < at + text.size()) return false;
  for (std::size_t i = 0; i < text.size(); ++i)
    if (byte_at(bytes, at + i) != static_cast<unsigned char>(text[i])) return false;
  return true;
}

// ISO/IEC 14496-12 file type box with a brand of the HEIF family (ISO/IEC 23008-12).
bool is_heif(std::span<const std::byte> bytes) {
  if (!has_at(bytes, 4, "ftyp")) return false;
  for (std::string_view brand : {"heic", "heix", "hevc", "heim", "heis", "mif1", "msf1", "avif"})
    if (has_at(bytes, 8, brand)) return true;
  return false;
}

// Truevision TGA 2.0: colour map type 0 or 1, image type, pixel depth that fits it.
bool is_tga(std::span<const std::byte> bytes) {
  if (bytes.size() < 18) return false;
  const unsigned map = byte_at(bytes, 1), type = byte_at(bytes, 2), depth = byte_at(bytes, 16);
  const bool mapped = type == 1 || type == 9, colour = type == 2 || type == 10, grey = type == 3 || type == 11;
  if (map > 1 || (mapped && map != 1) || !(mapped || colour || grey)) return false;
  if (colour) return depth == 15 || depth == 16 || depth == 24 || depth == 32;
  return depth == 8 || (grey && depth == 16);
}

}  // namespace

std::string picture_format_name(PictureFormat format) {
  static constexpr std::array<const char*, 10> names{"unknown", "JPEG", "PNG", "GIF",          "BMP",
                                                     "TGA",     "PSD",  "PNM", "Radiance HDR", "HEIC"};
  return names[static_cast<std::size_t>(format)];
}

PictureFormat picture_format(std::span<const std::byte> bytes) {
  if (has_at(bytes, 0, "\xFF\xD8\xFF")) return PictureFormat::jpeg;
  if (has_at(bytes, 0, "\x89PNG\r\n\x1A\n")) return PictureFormat::png;
  if (has_at(bytes, 0, "GIF87a") || has_at(bytes, 0, "GIF89a")) return PictureFormat::gif;
  if (has_at(bytes, 0, "BM")) return PictureFormat::bmp;
  if (has_at(bytes, 0, "8BPS")) return PictureFormat::psd;
  if (has_at(bytes, 0, "P5") || has_at(bytes, 0, "P6")) return PictureFormat::pnm;
  if (has_at(bytes, 0, "#?RADIANCE\n") || has_at(bytes, 0, "#?RGBE\n")) return PictureFormat::hdr;
  if (is_heif(bytes)) return PictureFormat::heif;
  if (is_tga(bytes)) return PictureFormat::tga;
  return PictureFormat::unknown;
}

}  // namespace boardlore
