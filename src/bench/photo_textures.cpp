#include "bench/photo_textures.h"

#include <GL/gl.h>
#include <GL/glext.h>

#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cmath>

namespace boardlore {
namespace {

// A frame gives the graphics card tiles for this long, the first in any case; a 512-px tile is 1 MiB.
constexpr float upload_seconds_a_frame = 0.004F;
constexpr std::size_t texture_budget_bytes = std::size_t{384} << 20;
constexpr int preview_min_side_px = 512;
// Whole photos decoded and kept in memory, besides the ones in view.
constexpr std::size_t photos_kept = 4;

unsigned upload(const std::uint8_t* rgba, std::size_t stride_bytes, int width, int height) {
  GLuint name = 0;
  glGenTextures(1, &name);
  glBindTexture(GL_TEXTURE_2D, name);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_T, GL_CLAMP_TO_EDGE);
  glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
  glPixelStorei(GL_UNPACK_ROW_LENGTH, static_cast<GLint>(stride_bytes / 4));
  glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, width, height, 0, GL_RGBA, GL_UNSIGNED_BYTE, rgba);
  glPixelStorei(GL_UNPACK_ROW_LENGTH, 0);
  return name;
}

// Decoding 48 MP takes a whole core: where the processor draws as well, the frame goes first. Linux counts niceness by thread.
void let_the_frame_go_first() {
#ifdef __linux__
  setpriority(PRIO_PROCESS, static_cast<id_t>(gettid()), 10);
#endif
}

ImTextureID texture_id(unsigned gl) { return reinterpret_cast<ImTextureID>(static_cast<std::intptr_t>(gl)); }

ImVec2 to_imgui(ScreenPoint p) { return ImVec2(static_cast<float>(p.x), static_cast<float>(p.y)); }

void add_quad(ImDrawList& list, unsigned gl, const ScreenFromPhoto& map, double left, double top, double right,
              double bottom, ImVec2 uv_min = {0, 0}, ImVec2 uv_max = {1, 1}) {
  list.AddImageQuad(texture_id(gl), to_imgui(map({left, top})), to_imgui(map({right, top})),
                    to_imgui(map({right, bottom})), to_imgui(map({left, bottom})), uv_min, {uv_max.x, uv_min.y}, uv_max,
                    {uv_min.x, uv_max.y});
}

// `part` of the photo out of a texture that covers `whole` of it.
void add_part(ImDrawList& list, unsigned gl, const ScreenFromPhoto& map, const PixelRect& part, const PixelRect& whole) {
  const auto along = [](int at, int from, int to) { return static_cast<float>(at - from) / static_cast<float>(to - from); };
  add_quad(list, gl, map, part.left, part.top, part.right, part.bottom,
           {along(part.left, whole.left, whole.right), along(part.top, whole.top, whole.bottom)},
           {along(part.right, whole.left, whole.right), along(part.bottom, whole.top, whole.bottom)});
}

}  // namespace

PhotoTextures::~PhotoTextures() {
  stop_all();
  if (picture_gl_) glDeleteTextures(1, &picture_gl_);
  for (auto& [path, entry] : entries_) {
    if (entry.preview.gl) glDeleteTextures(1, &entry.preview.gl);
    for (auto& [index, texture] : entry.tiles)
      if (texture.gl) glDeleteTextures(1, &texture.gl);
  }
}

unsigned PhotoTextures::picture(const std::shared_ptr<const Raster>& raster) {
  if (picture_of_ != raster) {
    if (picture_gl_) glDeleteTextures(1, &picture_gl_);
    picture_gl_ = upload(raster->rgba.data(), static_cast<std::size_t>(raster->width_px) * 4, raster->width_px, raster->height_px);
    picture_of_ = raster;
  }
  return picture_gl_;
}

void PhotoTextures::stop_all() {
  for (auto& [path, entry] : entries_) {
    entry.info_task.stop();
    entry.preview_task.stop();
    entry.whole_task.stop();
  }
}

PhotoTextures::Entry& PhotoTextures::entry_of(const std::filesystem::path& path) {
  Entry& entry = entries_[path.string()];
  entry.last_frame = frame_;
  return entry;
}

PhotoTextures::State PhotoTextures::ask(const std::filesystem::path& path, bool wants_whole) {
  Entry& entry = entry_of(path);
  if (!entry.preview_asked) {
    entry.preview_asked = true;
    entry.info_task = Task<Result<PictureInfo>>::start([path](const TaskReins&) { return probe_picture(path); });
    entry.preview_task = Task<Result<Raster>>::start(
        [path](const TaskReins& reins) {
          let_the_frame_go_first();
          return decode_preview(path, preview_min_side_px, reins.stop);
        });
  }
  if (wants_whole && !entry.whole_asked && entry.preview.gl && entry.trouble.empty()) {
    entry.whole_asked = true;
    entry.whole_task = Task<Result<std::shared_ptr<const TilePyramid>>>::start(
        [path](const TaskReins& reins) -> Result<std::shared_ptr<const TilePyramid>> {
          let_the_frame_go_first();
          auto photo = decode_full(
              path, [&](double done) { *reins.progress = done * 0.8; }, reins.stop);
          if (!photo) return photo.problem();
          return TilePyramid::build(
              std::move(*photo), [&](double done) { *reins.progress = 0.8 + 0.2 * done; }, reins.stop);
        });
  }
  State state;
  state.there = (entry.preview.gl != 0 && entry.width_px > 0) || entry.pyramid;
  state.whole = entry.pyramid != nullptr;
  state.progress = entry.pyramid ? 1 : entry.whole_task.progress();
  state.width_px = entry.width_px;
  state.height_px = entry.height_px;
  state.trouble = entry.trouble;
  return state;
}

void PhotoTextures::begin_frame() {
  ++frame_;
  upload_seconds_left_ = upload_seconds_a_frame;
  more_to_come_ = false;
  for (auto& [path, entry] : entries_) {
    if (auto info = entry.info_task.take()) {
      if (*info) {
        entry.width_px = (*info)->width_px;
        entry.height_px = (*info)->height_px;
      } else {
        entry.trouble = to_text(info->problem());
      }
    }
    if (auto preview = entry.preview_task.take()) {
      if (*preview) {
        Raster& raster = **preview;
        entry.preview.gl = upload(raster.rgba.data(), static_cast<std::size_t>(raster.width_px) * 4, raster.width_px,
                                  raster.height_px);
        entry.preview.width = raster.width_px;
        entry.preview.height = raster.height_px;
      } else {
        entry.trouble = to_text(preview->problem());
      }
    }
    if (auto whole = entry.whole_task.take()) {
      if (*whole) {
        entry.pyramid = std::move(**whole);
        entry.width_px = entry.pyramid->level(0).width_px;
        entry.height_px = entry.pyramid->level(0).height_px;
      } else if (whole->problem().found == kStopped) {
        entry.whole_asked = false;
      } else {
        entry.trouble = to_text(whole->problem());
      }
    }
  }
  forget_old();
}

bool PhotoTextures::working() const {
  if (more_to_come_) return true;
  return std::any_of(entries_.begin(), entries_.end(), [](const auto& item) {
    const Entry& entry = item.second;
    return entry.info_task.running() || entry.preview_task.running() || entry.whole_task.running();
  });
}

void PhotoTextures::forget_old() {
  // Tiles first, oldest first; then whole photos that have not been in view.
  while (texture_bytes_ > texture_budget_bytes) {
    Entry* owner = nullptr;
    std::map<TileIndex, Texture>::iterator oldest;
    for (auto& [path, entry] : entries_)
      for (auto it = entry.tiles.begin(); it != entry.tiles.end(); ++it)
        if (!owner || it->second.last_frame < oldest->second.last_frame) owner = &entry, oldest = it;
    if (!owner || oldest->second.last_frame + 2 >= frame_) break;
    glDeleteTextures(1, &oldest->second.gl);
    texture_bytes_ -= static_cast<std::size_t>(oldest->second.width) * static_cast<std::size_t>(oldest->second.height) * 4;
    owner->tiles.erase(oldest);
  }
  std::vector<Entry*> whole;
  for (auto& [path, entry] : entries_)
    if (entry.pyramid && entry.last_frame + 60 < frame_) whole.push_back(&entry);
  if (whole.size() <= photos_kept) return;
  std::sort(whole.begin(), whole.end(), [](const Entry* a, const Entry* b) { return a->last_frame < b->last_frame; });
  for (std::size_t i = 0; i + photos_kept < whole.size(); ++i) {
    Entry& entry = *whole[i];
    for (auto& [index, texture] : entry.tiles) {
      glDeleteTextures(1, &texture.gl);
      texture_bytes_ -= static_cast<std::size_t>(texture.width) * static_cast<std::size_t>(texture.height) * 4;
    }
    entry.tiles.clear();
    entry.pyramid.reset();
    entry.whole_asked = false;
  }
}

const PhotoTextures::Texture* PhotoTextures::tile_texture(Entry& entry, TileIndex index, bool may_upload) {
  if (const auto it = entry.tiles.find(index); it != entry.tiles.end()) {
    it->second.last_frame = frame_;
    return &it->second;
  }
  if (!may_upload) return nullptr;
  if (upload_seconds_left_ <= 0) {
    more_to_come_ = true;
    return nullptr;
  }
  const auto view = entry.pyramid->tile(index);
  if (!view) return nullptr;
  const auto start = std::chrono::steady_clock::now();
  Texture texture{upload(view->rgba, view->stride_bytes, view->width_px, view->height_px), view->width_px,
                  view->height_px, frame_};
  upload_seconds_left_ -= std::chrono::duration<float>(std::chrono::steady_clock::now() - start).count();
  texture_bytes_ += static_cast<std::size_t>(view->width_px) * static_cast<std::size_t>(view->height_px) * 4;
  return &(entry.tiles[index] = texture);
}

void PhotoTextures::draw(ImDrawList& list, const std::filesystem::path& path, const ScreenFromPhoto& map,
                         ImVec2 clip_min, ImVec2 clip_max) {
  Entry& entry = entry_of(path);
  if (entry.preview.gl && entry.width_px > 0 && !entry.pyramid)
    add_quad(list, entry.preview.gl, map, 0, 0, entry.width_px, entry.height_px);
  if (!entry.pyramid) return;
  double left = 1e30, top = 1e30, right = -1e30, bottom = -1e30;
  for (const ImVec2 corner : {clip_min, clip_max, ImVec2(clip_min.x, clip_max.y), ImVec2(clip_max.x, clip_min.y)}) {
    const PhotoPoint p = map.photo_from_screen({corner.x, corner.y});
    left = std::min(left, p.x_px), right = std::max(right, p.x_px);
    top = std::min(top, p.y_px), bottom = std::max(bottom, p.y_px);
  }
  const int wanted = entry.pyramid->level_for(map.zoom());
  const int coarsest = entry.pyramid->levels() - 1;
  // The coarsest level is one tile and always there.
  const TilePyramid& pyramid = *entry.pyramid;
  tile_texture(entry, {coarsest, 0, 0}, true);
  // What the eye is on comes first: from the middle outwards.
  std::vector<TileIndex> tiles = pyramid.visible_tiles(wanted, left, top, right, bottom);
  const double middle_x = (left + right) / 2, middle_y = (top + bottom) / 2;
  const auto from_middle = [&](const TileIndex& index) {
    const double side = std::ldexp(kTileSidePx, index.level);
    return std::hypot((index.column + 0.5) * side - middle_x, (index.row + 0.5) * side - middle_y);
  };
  std::sort(tiles.begin(), tiles.end(), [&](const TileIndex& a, const TileIndex& b) { return from_middle(a) < from_middle(b); });
  // Each place is painted once, by the tile wanted there or by the part of the next coarser one that is there: painting all levels
  // over each other was most of a frame where the processor draws.
  for (const TileIndex index : tiles) {
    const PixelRect part = pyramid.tile(index)->photo_px;
    for (int level = wanted; level <= coarsest; ++level) {
      const TileIndex there{level, index.column >> (level - wanted), index.row >> (level - wanted)};
      const Texture* texture = tile_texture(entry, there, level == wanted);
      if (!texture) continue;
      add_part(list, texture->gl, map, part, pyramid.tile(there)->photo_px);
      break;
    }
  }
}

void PhotoTextures::draw_thumbnail(ImDrawList& list, const std::filesystem::path& path, ImVec2 min, ImVec2 max) {
  Entry& entry = entry_of(path);
  if (!entry.preview.gl) return;
  // Fill the box, cut what stands over.
  const float box = (max.x - min.x) / (max.y - min.y);
  const float picture = static_cast<float>(entry.preview.width) / static_cast<float>(entry.preview.height);
  ImVec2 uv0(0, 0), uv1(1, 1);
  if (picture > box)
    uv0.x = (1 - box / picture) / 2, uv1.x = 1 - uv0.x;
  else
    uv0.y = (1 - picture / box) / 2, uv1.y = 1 - uv0.y;
  list.AddImageRounded(texture_id(entry.preview.gl), min, max, uv0, uv1, IM_COL32_WHITE, 3);
}

std::shared_ptr<const TilePyramid> PhotoTextures::pyramid(const std::filesystem::path& path) const {
  const auto it = entries_.find(path.string());
  return it == entries_.end() ? nullptr : it->second.pyramid;
}

}  // namespace boardlore
