#include "pictures/pyramid.h"

#include <algorithm>
#include <cmath>

namespace boardlore {
namespace {

std::size_t pixels(int width, int height) { return static_cast<std::size_t>(width) * static_cast<std::size_t>(height); }

// One row of the halved picture from two rows of the finer one; the last column of an odd width counts twice.
void halve_row(const std::uint8_t* upper, const std::uint8_t* lower, int fine_width, std::uint8_t* out) {
  const int whole = fine_width / 2;
  for (int x = 0; x < whole; ++x, upper += 8, lower += 8, out += 4)
    for (int channel = 0; channel < 4; ++channel)
      out[channel] = static_cast<std::uint8_t>(
          (upper[channel] + upper[channel + 4] + lower[channel] + lower[channel + 4] + 2) >> 2);
  if (fine_width % 2 != 0)
    for (int channel = 0; channel < 4; ++channel)
      out[channel] = static_cast<std::uint8_t>((upper[channel] + lower[channel] + 1) >> 1);
}

int tiles_along(int side_px) { return (side_px + kTileSidePx - 1) / kTileSidePx; }

// nullopt: stopped.
std::optional<Raster> halved_unless_stopped(const Raster& fine, const std::stop_token& stop) {
  Raster coarse{(fine.width_px + 1) / 2, (fine.height_px + 1) / 2, {}};
  coarse.rgba.resize(4 * pixels(coarse.width_px, coarse.height_px));
  for (int y = 0; y < coarse.height_px; ++y) {
    if (y % 64 == 0 && stop.stop_requested()) return std::nullopt;
    const int upper = 2 * y, lower = std::min(2 * y + 1, fine.height_px - 1);
    halve_row(fine.pixel(0, upper), fine.pixel(0, lower), fine.width_px, coarse.pixel(0, y));
  }
  return coarse;
}

}  // namespace

Raster halved(const Raster& raster) { return *halved_unless_stopped(raster, {}); }

Result<std::shared_ptr<const TilePyramid>> TilePyramid::build(Raster photo, const ProgressFn& progress,
                                                              std::stop_token stop) {
  if (photo.width_px <= 0 || photo.height_px <= 0 || photo.rgba.size() != 4 * pixels(photo.width_px, photo.height_px))
    return Problem{"", "", "a picture with as many pixels as its sides say", "another number of pixels"};
  const auto pyramid = std::make_shared<TilePyramid>();
  // All levels below the first have a third of its pixels together; level n has a quarter of level n - 1.
  double left = 1;
  pyramid->levels_.push_back(std::move(photo));
  while (pyramid->levels_.back().width_px > kTileSidePx || pyramid->levels_.back().height_px > kTileSidePx) {
    std::optional<Raster> coarse = halved_unless_stopped(pyramid->levels_.back(), stop);
    if (!coarse) return Problem{"", "", "", kStopped, Outcome::finding};
    pyramid->levels_.push_back(*std::move(coarse));
    left /= 4;
    if (progress) progress(1 - left);
  }
  if (progress) progress(1);
  return std::shared_ptr<const TilePyramid>(pyramid);
}

int TilePyramid::columns(int level) const { return tiles_along(this->level(level).width_px); }
int TilePyramid::rows(int level) const { return tiles_along(this->level(level).height_px); }

std::optional<TileView> TilePyramid::tile(int level, int column, int row) const {
  if (level < 0 || level >= levels()) return std::nullopt;
  if (column < 0 || column >= columns(level) || row < 0 || row >= rows(level)) return std::nullopt;
  const Raster& raster = this->level(level);
  const int left = column * kTileSidePx, top = row * kTileSidePx;
  TileView view;
  view.rgba = raster.pixel(left, top);
  view.stride_bytes = 4 * static_cast<std::size_t>(raster.width_px);
  view.width_px = std::min(kTileSidePx, raster.width_px - left);
  view.height_px = std::min(kTileSidePx, raster.height_px - top);
  const Raster& photo = levels_.front();
  const auto in_photo = [&](int at, int side) { return static_cast<int>(std::min<long long>((0LL + at) << level, side)); };
  view.photo_px = {in_photo(left, photo.width_px), in_photo(top, photo.height_px),
                   in_photo(left + view.width_px, photo.width_px), in_photo(top + view.height_px, photo.height_px)};
  return view;
}

std::vector<TileIndex> TilePyramid::visible_tiles(int level, double left_px, double top_px, double right_px,
                                                  double bottom_px) const {
  std::vector<TileIndex> found;
  if (level < 0 || level >= levels()) return found;
  if (!std::isfinite(left_px + top_px + right_px + bottom_px)) return found;
  const Raster& photo = levels_.front();
  left_px = std::max(left_px, 0.0), top_px = std::max(top_px, 0.0);
  right_px = std::min<double>(right_px, photo.width_px), bottom_px = std::min<double>(bottom_px, photo.height_px);
  if (!(left_px < right_px && top_px < bottom_px)) return found;
  const double tile_px = std::ldexp(kTileSidePx, level);
  const auto last_touched = [&](double edge_px, int count) {
    return std::min(static_cast<int>(std::ceil(edge_px / tile_px)), count) - 1;
  };
  const int last_column = last_touched(right_px, columns(level)), last_row = last_touched(bottom_px, rows(level));
  for (int row = static_cast<int>(top_px / tile_px); row <= last_row; ++row)
    for (int column = static_cast<int>(left_px / tile_px); column <= last_column; ++column)
      found.push_back({level, column, row});
  return found;
}

int TilePyramid::level_for(double zoom) const {
  if (!std::isfinite(zoom) || zoom <= 0) return levels() - 1;
  return std::clamp(static_cast<int>(std::floor(std::log2(1 / zoom))), 0, levels() - 1);
}

}  // namespace boardlore
