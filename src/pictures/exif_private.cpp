#include <algorithm>
#include <exception>
#include <exiv2/exiv2.hpp>

#include "pictures/scrub_parts.h"

namespace boardlore {
namespace {

bool contains(const std::string& text, const char* word) { return text.find(word) != std::string::npos; }

// What a field gives away, by its Exiv2 key ("Exif.Photo.BodySerialNumber"). Every field falls into a group:
// one that nobody thought of is named as "other Exif field".
const char* what_it_tells(const std::string& key) {
  if (key == "Exif.Image.Orientation") return nullptr;
  // How IFDs are chained and how the picture is coded: nothing of anybody's.
  for (const char* structure : {"Exif.Image.ExifTag", "Exif.Image.GPSTag", "Exif.Photo.InteroperabilityTag",
                                "Exif.Photo.ExifVersion", "Exif.Photo.FlashpixVersion", "Exif.Photo.ColorSpace",
                                "Exif.Photo.ComponentsConfiguration", "Exif.Image.XResolution",
                                "Exif.Image.YResolution", "Exif.Image.ResolutionUnit", "Exif.Image.YCbCrPositioning"})
    if (key == structure) return nullptr;
  if (contains(key, "GPSInfo")) return "GPS position";
  if (contains(key, "Serial")) return "camera or lens serial number";
  if (contains(key, "Owner") || contains(key, "Artist") || contains(key, "Copyright") || contains(key, "XPAuthor"))
    return "owner or author";
  if (contains(key, "Comment") || contains(key, "ImageDescription") || contains(key, "XPTitle") ||
      contains(key, "XPSubject") || contains(key, "XPKeywords"))
    return "comment (Exif)";
  if (contains(key, "UniqueID")) return "unique picture number";
  if (contains(key, "Thumbnail")) return "thumbnail (Exif)";
  if (contains(key, "DateTime") || contains(key, "OffsetTime") || contains(key, "SubSecTime")) return "time of taking";
  if (key == "Exif.Image.Make" || key == "Exif.Image.Model" || contains(key, "LensM") || contains(key, "Software") ||
      contains(key, "HostComputer"))
    return "camera, lens or program name";
  if (contains(key, "MakerNote") || !(key.starts_with("Exif.Image.") || key.starts_with("Exif.Photo.") ||
                                      key.starts_with("Exif.Iop.")))
    return "maker note";
  return "other Exif field";
}

}  // namespace

void Findings::add(std::string what) {
  if (std::find(list_.begin(), list_.end(), what) == list_.end()) list_.push_back(std::move(what));
}

void Findings::add_exif(std::span<const std::byte> block) {
  try {
    Exiv2::LogMsg::setLevel(Exiv2::LogMsg::mute);
    Exiv2::ExifData exif;
    Exiv2::ExifParser::decode(exif, reinterpret_cast<const Exiv2::byte*>(block.data()),
                              static_cast<std::uint32_t>(block.size()));
    if (exif.empty() && !block.empty()) add("Exif block that cannot be read");
    for (const Exiv2::Exifdatum& field : exif)
      if (const char* what = what_it_tells(field.key())) add(what);
    // Bytes between the fields belong to nobody and may hold anything.
    if (exif.count() == 1 && exif.begin()->key() == "Exif.Image.Orientation" && block.size() > 26)
      add("bytes in the Exif block that belong to no field");
  } catch (const std::exception&) {
    add("Exif block that cannot be read");
  }
}

std::string exif_block_with(int orientation) {
  // TIFF 6.0, section 2: little-endian, first IFD at 8; one entry: tag 0x0112, SHORT, one value; no next IFD.
  std::string block("II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0", 18);
  block += static_cast<char>(orientation);
  return block + std::string(7, '\0');
}

bool is_icc_profile(const std::string& bytes) {
  if (bytes.size() < 132 || bytes.compare(36, 4, "acsp") != 0) return false;
  std::size_t length = 0;
  for (std::size_t i = 0; i < 4; ++i) length = length << 8 | static_cast<unsigned char>(bytes[i]);
  return length == bytes.size();
}

}  // namespace boardlore
