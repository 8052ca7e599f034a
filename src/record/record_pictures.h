// The photos of a record, cut and scaled, with what lies over them.
//
// A job has dozens of photos of a dozen megapixels. Each file is decoded once, everything the record shows
// of it is made, and it is let go: memory is bounded by one photo. A photo that needs no change goes in as
// it is, without what the camera wrote about itself; a missing or damaged one leaves its reason in its place.
#pragma once

#include <filesystem>
#include <functional>
#include <stop_token>

#include "overlay/overlay_scene.h"
#include "pictures/progress.h"
#include "record/record_model.h"

namespace boardlore {

struct PreparedPicture {
  std::string jpeg;              // empty: see `missing`
  std::string missing;           // why there is no picture, in words
  int width_px = 0, height_px = 0;
  bool untouched = false;        // the photo's own scan data
  OverlayScene scene;            // in the scene's own pixels
  ScreenFromPhoto picture_from_scene;
  std::optional<ScreenPoint> ring;  // in picture pixels
  double ring_radius_px = 0;
};

struct PictureOptions {
  int whole_px = 1200;           // longer side of a whole photo
  int close_up_px = 760;         // sides of a close-up
  int quality = 80;              // JPEG
  std::size_t untouched_below_bytes = 600 * 1024;
};

using PhotoPathFn = std::function<std::filesystem::path(const Photo&)>;

// In the order of pictures_of(record). A Problem only when stopped.
Result<std::vector<PreparedPicture>> prepare_pictures(const Record& record, const Snapshot& snapshot,
                                                      const PhotoPathFn& path_of, const PictureOptions& options = {},
                                                      const ProgressFn& progress = {}, std::stop_token stop = {});

}  // namespace boardlore
