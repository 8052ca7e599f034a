// The metadata blocks of a HEIC picture: Exif, XMP and others.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "domain/problem.h"

namespace boardlore {

struct HeifBlock {
  std::string type;     // "Exif", "mime" (XMP), ...
  std::string content;
  // Exif only: the TIFF block behind the offset field (ISO/IEC 23008-12, annex A.2.1); empty: damaged.
  std::span<const std::byte> tiff() const;
};

Result<std::vector<HeifBlock>> heif_blocks(std::span<const std::byte> bytes, const std::string& name);

}  // namespace boardlore
