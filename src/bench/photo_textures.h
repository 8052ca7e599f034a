// Photos on their way to the screen: a small preview at once, the whole photo in tiles after it.
//
// Decoding takes up to a second for a 48-megapixel photo and runs beside the frame. The graphics card is
// given tiles for a few milliseconds a frame, those in the middle of the view first, of the level of the pyramid
// that fits the zoom; where a tile is not there yet, its part of the next coarser one stands in, so that the photo is
// never blank, and no place is painted twice.
#pragma once

#include <imgui.h>

#include <filesystem>
#include <list>
#include <map>

#include "bench/tasks.h"
#include "overlay/view.h"
#include "pictures/photo_file.h"
#include "pictures/pyramid.h"

namespace boardlore {

class PhotoTextures {
 public:
  PhotoTextures() = default;
  PhotoTextures(const PhotoTextures&) = delete;
  PhotoTextures& operator=(const PhotoTextures&) = delete;
  ~PhotoTextures();

  struct State {
    bool there = false;      // something can be shown
    bool whole = false;      // the full photo is there
    double progress = 0;     // of the full photo, 0 to 1
    int width_px = 0, height_px = 0;
    std::string trouble;     // why not
  };
  // Starts loading where that has not begun. `wants_whole`: not only the preview.
  State ask(const std::filesystem::path& path, bool wants_whole);

  // Draws the part of the photo in `clip` (screen pixels). Adds tiles to the frame's budget.
  void draw(ImDrawList& list, const std::filesystem::path& path, const ScreenFromPhoto& screen_from_photo, ImVec2 clip_min,
            ImVec2 clip_max);
  // The preview as a thumbnail that fills a box.
  void draw_thumbnail(ImDrawList& list, const std::filesystem::path& path, ImVec2 min, ImVec2 max);
  // A picture that was worked out, as one texture; kept while it is the one asked for.
  unsigned picture(const std::shared_ptr<const Raster>& raster);
  // The full photo's pixels; nullptr until they are there.
  std::shared_ptr<const TilePyramid> pyramid(const std::filesystem::path& path) const;

  // Once a frame: takes what decoding finished, lets go of what was not seen for long.
  void begin_frame();
  bool working() const;  // another frame would show more
  void stop_all();

 private:
  struct Texture {
    unsigned gl = 0;
    int width = 0, height = 0;
    std::uint64_t last_frame = 0;
  };
  struct Entry {
    Task<Result<Raster>> preview_task;
    Task<Result<std::shared_ptr<const TilePyramid>>> whole_task;
    bool preview_asked = false, whole_asked = false;
    Raster preview_raster;
    Texture preview;
    int width_px = 0, height_px = 0;  // of the whole photo
    Task<Result<PictureInfo>> info_task;
    bool info_asked = false;
    std::shared_ptr<const TilePyramid> pyramid;
    std::map<TileIndex, Texture> tiles;
    std::string trouble;
    std::uint64_t last_frame = 0;
  };
  Entry& entry_of(const std::filesystem::path& path);
  const Texture* tile_texture(Entry& entry, TileIndex index, bool may_upload);
  void forget_old();

  std::shared_ptr<const Raster> picture_of_;
  unsigned picture_gl_ = 0;
  std::map<std::string, Entry> entries_;
  std::uint64_t frame_ = 0;
  float upload_seconds_left_ = 0;  // of this frame
  bool more_to_come_ = false;
  std::size_t texture_bytes_ = 0;
};

}  // namespace boardlore
