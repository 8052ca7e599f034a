// Several close-ups joined into one picture of the board, and where a photo is sharp.
//
// Under a microscope the board does not fit into one frame. Each registered photo is drawn square-on; at every
// place the one that is sharper there wins, with narrow soft seams and brightness evened out where they overlap.
#pragma once

#include <functional>
#include <stop_token>
#include <vector>

#include "alignment/straighten.h"
#include "domain/photo.h"
#include "pictures/progress.h"

namespace boardlore {

struct MosaicSource {
  std::function<Result<Raster>()> load;  // one at a time is held in memory
  Registration registration;
};

struct Mosaic {
  Raster picture;         // alpha 0 where no source shows the board
  double covered = 0;     // share of the rectangle that some source shows
  std::vector<double> shares;  // of the covered part, how much comes from each source
};

// Refused: no source shows anything of the rectangle; a size beyond most_straight_pixels / 4; stopped.
Result<Mosaic> join_photos(const std::vector<MosaicSource>& sources, const BoardRect& rect, double px_per_mm, Side side,
                           const std::stop_token& stop = {}, const ProgressFn& progress = {});

// Which photos to join: the registered ones of the side, and of a job only its own where there are any, since the
// board's reference photos show another unit.
struct JoinPhoto {
  const Photo* photo = nullptr;
  bool of_job = false;
};
std::vector<const Photo*> photos_to_join(const std::vector<JoinPhoto>& photos, bool in_job, Side side);
// As fine as the finest of them, within what join_photos takes.
double joined_px_per_mm(const std::vector<const Photo*>& photos, const BoardRect& rect);

// Sharpness by place: one value a cell of `cell_px` photo pixels, row by row, 0 to 1 (1: the sharpest cell's edges).
struct SharpnessMap {
  int columns = 0, rows = 0, cell_px = 0;
  std::vector<float> values;
};
SharpnessMap sharpness_map(const Raster& photo, int cell_px);
// Half of the sharpest tenth: what is below it can't be compared with the rest by eye.
double usual_sharpness(const SharpnessMap& map);

}  // namespace boardlore
