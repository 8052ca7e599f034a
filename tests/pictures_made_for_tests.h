// Pictures and files made in memory for the tests of pictures/: known pixels, and bytes put where a camera
// or an attacker would put them.
#pragma once

#include <unistd.h>

#include <cstring>
#include <filesystem>
#include <fstream>
#include <span>
#include <string>

#include "pictures/encode.h"
#include "pictures/raster.h"

namespace boardlore::made {

inline std::span<const std::byte> as_bytes(const std::string& text) {
  return std::as_bytes(std::span(text.data(), text.size()));
}

// Smooth, so that JPEG keeps it within a few grey levels, and different at every place and in every channel.
inline Raster gradient(int width_px, int height_px) {
  Raster raster{width_px, height_px, {}};
  for (int y = 0; y < height_px; ++y)
    for (int x = 0; x < width_px; ++x) {
      const int across = 40 + 170 * x / width_px, down = 40 + 170 * y / height_px;
      for (int value : {across, down, (across + down) / 2, 255}) raster.rgba.push_back(static_cast<std::uint8_t>(value));
    }
  return raster;
}

inline int largest_difference(const Raster& a, const Raster& b) {
  if (a.width_px != b.width_px || a.height_px != b.height_px || a.rgba.size() != b.rgba.size()) return 256;
  int largest = 0;
  for (std::size_t i = 0; i < a.rgba.size(); ++i) largest = std::max(largest, std::abs(a.rgba[i] - b.rgba[i]));
  return largest;
}

// A JPEG segment: marker, length, payload.
inline std::string segment(unsigned char marker, const std::string& payload) {
  const std::size_t length = payload.size() + 2;
  return {std::string{'\xFF', static_cast<char>(marker), static_cast<char>(length >> 8), static_cast<char>(length & 255)} +
          payload};
}

inline std::string behind_soi(const std::string& jpeg, const std::string& segments) {
  return jpeg.substr(0, 2) + segments + jpeg.substr(2);
}

// A TIFF block with Orientation alone, little-endian. Source: TIFF 6.0, section 2.
inline std::string exif_block_with_orientation(int value) {
  std::string block("II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0", 18);
  block += static_cast<char>(value);
  return block + std::string("\0\0\0\0\0\0\0", 7);
}

inline std::string with_orientation(const std::string& jpeg, int value) {
  return behind_soi(jpeg, segment(0xE1, std::string("Exif\0\0", 6) + exif_block_with_orientation(value)));
}

// A folder of its own, gone with the object.
class Folder {
 public:
  Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "boardlore-pictures-XXXXXX").string();
    path_ = ::mkdtemp(name.data());
  }
  ~Folder() { std::filesystem::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  const std::filesystem::path& path() const { return path_; }
  std::filesystem::path put(const std::string& name, const std::string& bytes) const {
    std::ofstream(path_ / name, std::ios::binary) << bytes;
    return path_ / name;
  }

 private:
  std::filesystem::path path_;
};

inline std::string file_text(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace boardlore::made
