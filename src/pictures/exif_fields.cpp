#include "pictures/exif_fields.h"

#include <exception>
#include <exiv2/exiv2.hpp>

#include "pictures/exif_orientation.h"
#include "pictures/jpeg_segments.h"
#include "pictures/picture_format.h"
#include "pictures/png_chunks.h"

namespace boardlore {
namespace {

constexpr std::string_view kExifHeader{"Exif\0\0", 6};

// Text as a person may read it: a hostile tag must not carry control characters to a terminal.
std::string plain_text(const Exiv2::ExifData& exif, const char* key) {
  const auto at = exif.findKey(Exiv2::ExifKey(key));
  if (at == exif.end()) return {};
  std::string text;
  for (char letter : at->toString().substr(0, 40))
    if (letter >= ' ' && letter <= '~') text += letter;
  while (!text.empty() && text.back() == ' ') text.pop_back();
  return text;
}

}  // namespace

std::span<const std::byte> exif_block(std::span<const std::byte> picture, const std::string& name) {
  const PictureFormat format = picture_format(picture);
  if (format == PictureFormat::jpeg) {
    for (const JpegSegment& segment : jpeg_header_segments(picture))
      if (segment.marker == 0xE1 && segment.starts_with(kExifHeader)) return segment.data.subspan(kExifHeader.size());
  } else if (format == PictureFormat::png) {
    if (const auto chunks = png_chunks(picture, name))
      for (const PngChunk& chunk : *chunks)
        if (chunk.type == "eXIf") return chunk.data;
  }
  return {};
}

ExifFields exif_fields(std::span<const std::byte> block) {
  ExifFields fields;
  if (block.size() < 8) return fields;
  try {
    Exiv2::LogMsg::setLevel(Exiv2::LogMsg::mute);
    Exiv2::ExifData exif;
    Exiv2::ExifParser::decode(exif, reinterpret_cast<const Exiv2::byte*>(block.data()),
                              static_cast<std::uint32_t>(block.size()));
    const auto orientation = exif.findKey(Exiv2::ExifKey("Exif.Image.Orientation"));
    if (orientation != exif.end() && orientation->count() > 0) fields.orientation = sane_orientation(orientation->toLong());
    fields.taken_text = plain_text(exif, "Exif.Photo.DateTimeOriginal");
    fields.taken_offset = plain_text(exif, "Exif.Photo.OffsetTimeOriginal");
  } catch (const std::exception&) {
    // Exiv2 throws on damaged blocks; what was read before that stays.
  }
  return fields;
}

std::optional<Timestamp> exif_time(const std::string& text, const std::string& offset) {
  if (text.size() != 19 || text[4] != ':' || text[7] != ':' || text[10] != ' ') return std::nullopt;
  std::string rfc3339 = text;
  rfc3339[4] = rfc3339[7] = '-';
  rfc3339[10] = 'T';
  return parse_rfc3339(rfc3339 + (offset.empty() ? "Z" : offset));
}

}  // namespace boardlore
