#include "pictures/encode.h"

#include <turbojpeg.h>

#include <algorithm>
#include <memory>
#include <vector>

#include <stb/stb_image_write.h>

#include "pictures/picture_bytes.h"
#include "pictures/picture_limits.h"

namespace boardlore {
namespace {

// stb_image_write counts bytes in int and doubles its buffer as it goes.
constexpr std::size_t kMaxPngPixels = 200'000'000;

Result<Done> check_raster(const Raster& raster) {
  const auto side = [](int px) { return static_cast<std::uint64_t>(std::max(px, 0)); };
  const Result<Done> size = check_picture_size(side(raster.width_px), side(raster.height_px), "", "picture to write");
  if (!size) return size.problem();
  if (raster.rgba.size() != 4 * side(raster.width_px) * side(raster.height_px))
    return Problem{"", "picture to write", "as many pixels as its sides say", "another number"};
  return Done{};
}

bool is_opaque(const Raster& raster) {
  for (std::size_t at = 3; at < raster.rgba.size(); at += 4)
    if (raster.rgba[at] != 255) return false;
  return true;
}

template <class Encode>
Result<Done> write(const std::filesystem::path& path, Encode encode) {
  const Result<std::string> bytes = encode();
  if (!bytes) {
    Problem problem = bytes.problem();
    problem.file = path.string();
    return problem;
  }
  return write_picture_bytes(path, *bytes);
}

}  // namespace

Result<std::string> jpeg_bytes(const Raster& raster, int quality) {
  const Result<Done> checked = check_raster(raster);
  if (!checked) return checked.problem();
  quality = std::clamp(quality, 1, 100);
  const std::unique_ptr<void, int (*)(tjhandle)> turbo(tjInitCompress(), tjDestroy);
  unsigned char* buffer = nullptr;
  unsigned long size = 0;
  const int failed = tjCompress2(turbo.get(), raster.rgba.data(), raster.width_px, 0, raster.height_px, TJPF_RGBA,
                                 &buffer, &size, quality >= 90 ? TJSAMP_444 : TJSAMP_420, quality, TJFLAG_ACCURATEDCT);
  const std::unique_ptr<unsigned char, void (*)(unsigned char*)> owner(buffer, tjFree);
  if (failed != 0)
    return Problem{"", "", "a picture that JPEG can hold", tjGetErrorStr2(turbo.get()), Outcome::system_failed};
  return std::string(reinterpret_cast<const char*>(buffer), size);
}

Result<std::string> png_bytes(const Raster& raster) {
  const Result<Done> checked = check_raster(raster);
  if (!checked) return checked.problem();
  const std::size_t pixels = raster.rgba.size() / 4;
  if (pixels > kMaxPngPixels)
    return Problem{"", "picture to write", "at most 200 megapixels for PNG", std::to_string(pixels) + " pixels"};
  std::vector<std::uint8_t> rgb;
  const bool opaque = is_opaque(raster);
  if (opaque) {
    rgb.reserve(3 * pixels);
    for (std::size_t at = 0; at < raster.rgba.size(); at += 4)
      rgb.insert(rgb.end(), raster.rgba.begin() + static_cast<std::ptrdiff_t>(at),
                 raster.rgba.begin() + static_cast<std::ptrdiff_t>(at + 3));
  }
  const int channels = opaque ? 3 : 4;
  std::string bytes;
  const auto append = [](void* to, void* data, int size) {
    static_cast<std::string*>(to)->append(static_cast<const char*>(data), static_cast<std::size_t>(size));
  };
  if (!stbi_write_png_to_func(append, &bytes, raster.width_px, raster.height_px, channels,
                              opaque ? rgb.data() : raster.rgba.data(), raster.width_px * channels))
    return Problem{"", "", "memory to write a PNG", "too little", Outcome::system_failed};
  return bytes;
}

Result<Done> write_jpeg(const std::filesystem::path& path, const Raster& raster, int quality) {
  return write(path, [&] { return jpeg_bytes(raster, quality); });
}

Result<Done> write_png(const std::filesystem::path& path, const Raster& raster) {
  return write(path, [&] { return png_bytes(raster); });
}

}  // namespace boardlore
