// A photo cut for the graphics card: halved again and again, each level cut into tiles.
//
// A 48 MP photo is above the texture size that some drivers take and far above what one frame needs. Level 0
// is the photo itself, each next level has half the pixels a side (2x2 box filter, sides rounded up); a
// frame uploads only the tiles it shows, of the level that fits its zoom. Immutable once built, so the
// window and a worker may share one; build it on a worker.
#pragma once

#include <memory>
#include <optional>
#include <stop_token>

#include "domain/problem.h"
#include "pictures/progress.h"
#include "pictures/raster.h"

namespace boardlore {

inline constexpr int kTileSidePx = 512;  // every OpenGL 3.3 driver takes 1024 or more

struct TileIndex {
  int level = 0, column = 0, row = 0;
  bool operator==(const TileIndex&) const = default;
  auto operator<=>(const TileIndex&) const = default;
};

// A window onto the pyramid's memory; lives as long as the pyramid. Tiles at the right and bottom may be
// smaller than kTileSidePx.
struct TileView {
  const std::uint8_t* rgba = nullptr;  // first pixel
  std::size_t stride_bytes = 0;        // from one row to the next (GL_UNPACK_ROW_LENGTH = stride_bytes / 4)
  int width_px = 0, height_px = 0;
  PixelRect photo_px;                  // what it covers of level 0; clipped to the photo
};

class TilePyramid {
 public:
  // Takes the photo over; levels go down to one that fits in a single tile. A Problem only when stopped
  // (found: kStopped) or when the raster is empty or not of its stated size.
  static Result<std::shared_ptr<const TilePyramid>> build(Raster photo, const ProgressFn& progress = {},
                                                          std::stop_token stop = {});

  int levels() const { return static_cast<int>(levels_.size()); }
  // Pixels of a level; level 0 is the photo.
  const Raster& level(int level) const { return levels_[static_cast<std::size_t>(level)]; }
  int columns(int level) const;
  int rows(int level) const;
  // nullopt: no such tile.
  std::optional<TileView> tile(int level, int column, int row) const;
  std::optional<TileView> tile(TileIndex index) const { return tile(index.level, index.column, index.row); }

  // Tiles of a level that touch a rectangle of the photo (level-0 pixels, real-valued edges), row by row.
  // A rectangle outside the photo, empty or not finite touches none.
  std::vector<TileIndex> visible_tiles(int level, double left_px, double top_px, double right_px,
                                       double bottom_px) const;

  // The coarsest level that still has a pixel or more a screen pixel; zoom is screen pixels a photo pixel
  // (0.25: shown at a quarter). Not finite or not above 0: the coarsest.
  int level_for(double zoom) const;

 private:
  std::vector<Raster> levels_;
};

// Half the size, sides rounded up; each pixel the mean of the up to four it covers.
Raster halved(const Raster& raster);

}  // namespace boardlore
