#include "pictures/exif_orientation.h"

#include <algorithm>
#include <cstring>

namespace boardlore {

int sane_orientation(long long tag_value) { return tag_value >= 1 && tag_value <= 8 ? static_cast<int>(tag_value) : 1; }

bool orientation_mirrors(int orientation) {
  return orientation == 2 || orientation == 4 || orientation == 5 || orientation == 7;
}

bool orientation_swaps_sides(int orientation) { return orientation >= 5; }

UprightWriter::UprightWriter(int stored_width_px, int stored_height_px, int orientation)
    : stored_width_px_(stored_width_px), stored_height_px_(stored_height_px), orientation_(orientation) {
  const bool swaps = orientation_swaps_sides(orientation_);
  upright_.width_px = swaps ? stored_height_px_ : stored_width_px_;
  upright_.height_px = swaps ? stored_width_px_ : stored_height_px_;
  const std::size_t bytes =
      4 * static_cast<std::size_t>(stored_width_px_) * static_cast<std::size_t>(stored_height_px_);
  // Not turned: rows are appended as they come, which spares writing 192 MB of zeros first for 48 MP.
  if (orientation_ == 1)
    upright_.rgba.reserve(bytes);
  else
    upright_.rgba.resize(bytes);
}

void UprightWriter::add_rows(const std::uint8_t* rows, int count) {
  count = std::min(count, stored_height_px_ - next_row_);
  if (count <= 0) return;
  const std::size_t row_bytes = 4 * static_cast<std::size_t>(stored_width_px_);
  if (orientation_ == 1) {
    upright_.rgba.insert(upright_.rgba.end(), rows, rows + row_bytes * static_cast<std::size_t>(count));
    next_row_ += count;
    return;
  }
  // Where stored (0, y) is seen, and the step from there to what is seen of (1, y) and (0, y + 1), in pixels
  // of the upright raster. Columns outside, rows inside: for turned photos neighbouring rows of one batch are
  // neighbours in memory, so a batch of 16 fills a cache line.
  const std::ptrdiff_t w = stored_width_px_, h = stored_height_px_;
  const std::ptrdiff_t seen_w = upright_.width_px;
  std::ptrdiff_t origin = 0, step_x = 1, step_y = seen_w;
  switch (orientation_) {
    case 2: origin = w - 1, step_x = -1, step_y = seen_w; break;
    case 3: origin = (h - 1) * seen_w + w - 1, step_x = -1, step_y = -seen_w; break;
    case 4: origin = (h - 1) * seen_w, step_x = 1, step_y = -seen_w; break;
    case 5: origin = 0, step_x = seen_w, step_y = 1; break;
    case 6: origin = h - 1, step_x = seen_w, step_y = -1; break;
    case 7: origin = (w - 1) * seen_w + h - 1, step_x = -seen_w, step_y = -1; break;
    case 8: origin = (w - 1) * seen_w, step_x = -seen_w, step_y = 1; break;
    default: break;
  }
  constexpr int kBatch = 16;
  for (int first = 0; first < count; first += kBatch) {
    const int last = std::min(first + kBatch, count);
    const std::ptrdiff_t corner = origin + step_y * (next_row_ + first);
    const auto copy = [&](std::ptrdiff_t x, int row) {
      const std::ptrdiff_t at = corner + step_x * x + step_y * (row - first);
      std::memcpy(upright_.rgba.data() + 4 * at, rows + row_bytes * static_cast<std::size_t>(row) + 4 * x, 4);
    };
    if (orientation_swaps_sides(orientation_))
      for (std::ptrdiff_t x = 0; x < w; ++x)
        for (int row = first; row < last; ++row) copy(x, row);
    else
      for (int row = first; row < last; ++row)
        for (std::ptrdiff_t x = 0; x < w; ++x) copy(x, row);
  }
  next_row_ += count;
}

Raster UprightWriter::take() && {
  upright_.rgba.resize(4 * static_cast<std::size_t>(upright_.width_px) * static_cast<std::size_t>(upright_.height_px));
  return std::move(upright_);
}

Raster upright(Raster stored, int orientation) {
  if (orientation == 1) return stored;
  UprightWriter writer(stored.width_px, stored.height_px, orientation);
  writer.add_rows(stored.rgba.data(), stored.height_px);
  return std::move(writer).take();
}

}  // namespace boardlore
