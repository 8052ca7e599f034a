#include "pictures/picture_limits.h"

namespace boardlore {

Result<Done> check_picture_size(std::uint64_t width_px, std::uint64_t height_px, const std::string& file,
                                const std::string& where) {
  const std::string found = std::to_string(width_px) + " x " + std::to_string(height_px) + " px";
  if (width_px == 0 || height_px == 0) return Problem{file, where, "a picture with at least one pixel", found};
  const auto most = static_cast<std::uint64_t>(kMaxPictureSidePx);
  if (width_px > most || height_px > most)
    return Problem{file, where, "sides of at most " + std::to_string(most) + " px", found};
  if (width_px * height_px > kMaxPicturePixels)
    return Problem{file, where, "at most " + std::to_string(kMaxPicturePixels / 1'000'000) + " megapixels", found};
  return Done{};
}

}  // namespace boardlore
