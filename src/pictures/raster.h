// A picture in memory, as every room above sees one.
//
// Upright: the Exif orientation is already applied, so a pixel of the raster is a place in the photo
// frame (domain/frames.h): pixel (column, row) covers [column, column+1) x [row, row+1), the first
// pixel's centre is (0.5, 0.5). Colour values are as stored in the file, taken for sRGB.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace boardlore {

struct Raster {
  int width_px = 0, height_px = 0;
  std::vector<std::uint8_t> rgba;  // row by row from the top, four bytes a pixel, no padding; alpha 255: opaque

  bool empty() const { return rgba.empty(); }
  // The four bytes of one pixel; inside the picture only.
  const std::uint8_t* pixel(int column, int row) const { return rgba.data() + offset(column, row); }
  std::uint8_t* pixel(int column, int row) { return rgba.data() + offset(column, row); }

  bool operator==(const Raster&) const = default;

 private:
  std::size_t offset(int column, int row) const {
    return 4 * (static_cast<std::size_t>(row) * static_cast<std::size_t>(width_px) + static_cast<std::size_t>(column));
  }
};

// Whole pixels; left and top inside, right and bottom outside.
struct PixelRect {
  int left = 0, top = 0, right = 0, bottom = 0;
  int width() const { return right - left; }
  int height() const { return bottom - top; }
  bool empty() const { return right <= left || bottom <= top; }
  bool operator==(const PixelRect&) const = default;
};

}  // namespace boardlore
