// Which kind of picture a file is, by its first bytes and never by its name.
#pragma once

#include <cstddef>
#include <span>
#include <string>

namespace boardlore {

enum class PictureFormat { unknown, jpeg, png, gif, bmp, tga, psd, pnm, hdr, heif };

// "JPEG", "PNG", ...; "unknown".
std::string picture_format_name(PictureFormat format);

// TGA has no signature: it is named only where the whole header is consistent and nothing else fits.
PictureFormat picture_format(std::span<const std::byte> bytes);

}  // namespace boardlore
