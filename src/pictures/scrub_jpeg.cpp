#include <map>

#include "pictures/decoders.h"
#include "pictures/exif_fields.h"
#include "pictures/jpeg_segments.h"
#include "pictures/scrub_parts.h"

namespace boardlore {
namespace {

std::string text_of(std::span<const std::byte> bytes) {
  return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

std::string segment_bytes(std::uint8_t marker, const std::string& payload) {
  const std::size_t length = payload.size() + 2;
  return std::string{'\xFF', static_cast<char>(marker), static_cast<char>(length >> 8), static_cast<char>(length & 255)} +
         payload;
}

// Density only; the thumbnail that may follow shows the picture before it was covered.
std::string jfif_without_thumbnail(const JpegSegment& segment) {
  std::string payload = text_of(segment.data.first(14));
  payload[12] = payload[13] = 0;
  return segment_bytes(0xE0, payload);
}

// ICC.1 annex B.4: "ICC_PROFILE", zero, number of this piece from 1, count of pieces.
constexpr std::string_view kIccHeader{"ICC_PROFILE\0", 12};

// The profile put together again, and only where it is one: as long as it says, with the signature
// "acsp" at byte 36. Else empty, so that nothing else travels under its name.
std::string icc_profile(const JpegSegments& jpeg) {
  std::map<unsigned, std::string> pieces;
  for (const JpegSegment& segment : jpeg.segments)
    if (segment.marker == 0xE2 && segment.starts_with(kIccHeader) && segment.data.size() >= 14)
      pieces.emplace(std::to_integer<unsigned>(segment.data[12]), text_of(segment.data.subspan(14)));
  std::string profile;
  for (const auto& [number, piece] : pieces) profile += piece;
  return is_icc_profile(profile) ? profile : std::string();
}

std::string icc_segments(const std::string& profile) {
  constexpr std::size_t kPiece = 65'000;
  const std::size_t count = (profile.size() + kPiece - 1) / kPiece;
  std::string bytes;
  for (std::size_t i = 0; i < count; ++i)
    bytes += segment_bytes(0xE2, std::string(kIccHeader) + static_cast<char>(i + 1) + static_cast<char>(count) +
                                     profile.substr(i * kPiece, kPiece));
  return bytes;
}

// What a decoder needs: frame headers that libjpeg knows, tables, scans, number of lines, restart interval.
bool belongs_to_the_picture(std::uint8_t marker) {
  const bool frame = (marker >= 0xC0 && marker <= 0xC3) || (marker >= 0xC9 && marker <= 0xCB);
  const bool table = marker == 0xC4 || marker == 0xCC || marker == 0xDB;
  return frame || table || marker == 0xDA || marker == 0xDC || marker == 0xDD;
}

}  // namespace

Result<std::string> scrubbed_jpeg(std::span<const std::byte> bytes, const std::string& name) {
  const Result<JpegSegments> jpeg = jpeg_segments(bytes, name);
  if (!jpeg) return jpeg.problem();
  std::string jfif, adobe, picture;
  for (const JpegSegment& segment : jpeg->segments) {
    if (segment.marker == 0xE0 && segment.starts_with(std::string_view("JFIF\0", 5)) && segment.data.size() >= 14)
      jfif = jfif_without_thumbnail(segment);
    else if (segment.marker == 0xEE && segment.starts_with("Adobe") && segment.data.size() >= 12)
      adobe = segment_bytes(0xEE, text_of(segment.data.first(12)));  // tells how the colours are coded
    else if (belongs_to_the_picture(segment.marker))
      picture += segment_bytes(segment.marker, text_of(segment.data)) + text_of(segment.scan);
  }
  const int orientation = exif_fields(exif_block(bytes, name)).orientation;
  const std::string exif =
      orientation == 1 ? "" : segment_bytes(0xE1, std::string("Exif\0\0", 6) + exif_block_with(orientation));
  const std::string scrubbed =
      "\xFF\xD8" + jfif + exif + icc_segments(icc_profile(*jpeg)) + adobe + picture + "\xFF\xD9";
  return without_bytes_hidden_in_scans(scrubbed, name);
}

Result<std::vector<std::string>> private_in_jpeg(std::span<const std::byte> bytes, const std::string& name) {
  const Result<JpegSegments> jpeg = jpeg_segments(bytes, name);
  if (!jpeg) return jpeg.problem();
  Findings found;
  bool exif_seen = false;
  for (const JpegSegment& segment : jpeg->segments) {
    const std::string app = "APP" + std::to_string(segment.marker - 0xE0) + " segment of unknown content";
    if (segment.marker == 0xFE) {
      found.add("comment");
    } else if (segment.marker == 0xE0 && segment.starts_with(std::string_view("JFIF\0", 5)) && segment.data.size() >= 14) {
      if (segment.data.size() > 14) found.add("thumbnail (JFIF)");
    } else if (segment.marker == 0xE0 && segment.starts_with(std::string_view("JFXX\0", 5))) {
      found.add("thumbnail (JFXX)");
    } else if (segment.marker == 0xE1 && segment.starts_with(std::string_view("Exif\0\0", 6))) {
      // Only the first is read as Exif by others; a second one can only hide something.
      if (exif_seen) found.add("second Exif block");
      exif_seen = true;
      found.add_exif(segment.data.subspan(6));
    } else if (segment.marker == 0xE1 && segment.starts_with("http://ns.adobe.com/")) {
      found.add("XMP packet");
    } else if (segment.marker == 0xED && segment.starts_with("Photoshop 3.0")) {
      found.add("IPTC or other picture-editor block");
    } else if (segment.marker == 0xE2 && segment.starts_with("MPF")) {
      found.add("index of further pictures (MPF)");
    } else if (segment.marker == 0xE2 && segment.starts_with(kIccHeader)) {
      if (icc_profile(*jpeg).empty()) found.add("colour profile segment that holds no profile");
    } else if (segment.marker == 0xEE && segment.starts_with("Adobe") && segment.data.size() >= 12) {
      if (segment.data.size() > 12) found.add("bytes behind the colour coding (APP14)");
    } else if (segment.marker >= 0xE0 && segment.marker <= 0xEF) {
      found.add(app);
    } else if (segment.marker >= 0xF0 && segment.marker <= 0xFD) {
      found.add("reserved JPEG segment of unknown content");
    }
  }
  if (!jpeg->trailing.empty()) found.add(std::to_string(jpeg->trailing.size()) + " bytes behind the end of the picture");
  return std::move(found).list();
}

}  // namespace boardlore
