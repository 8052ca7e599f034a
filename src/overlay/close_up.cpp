#include "overlay/close_up.h"

#include <algorithm>
#include <cmath>

#include "overlay/canvas_cairo.h"

namespace boardlore {
namespace {

PixelRect around(const Raster& photo, PhotoPoint at, double reach_px) {
  const auto low = [&](double middle) { return static_cast<int>(std::floor(std::max(0.0, middle - reach_px) + 1e-6)); };
  const auto high = [&](double middle, int end) { return static_cast<int>(std::ceil(std::min<double>(end, middle + reach_px) - 1e-6)); };
  return {low(at.x_px), low(at.y_px), high(at.x_px, photo.width_px), high(at.y_px, photo.height_px)};
}

Raster cut(const Raster& photo, const PixelRect& rect, int times) {
  Raster out;
  out.width_px = rect.width() * times, out.height_px = rect.height() * times;
  out.rgba.resize(std::size_t{4} * static_cast<std::size_t>(out.width_px) * static_cast<std::size_t>(out.height_px));
  for (int row = 0; row < out.height_px; ++row)
    for (int column = 0; column < out.width_px; ++column)
      std::copy_n(photo.pixel(rect.left + column / times, rect.top + row / times), 4, out.pixel(column, row));
  return out;
}

}  // namespace

Result<Raster> close_up(const Raster& photo, const PhotoMap& map, const BoardShapes& shapes, const Mark& mark, double margin_mm) {
  const auto at = map.photo_from(mark.at);
  const Problem outside{"", mark.refdes.empty() ? "the mark" : mark.refdes, "a mark inside the photo", "one beside it"};
  if (!at || at->x_px < 0 || at->y_px < 0 || at->x_px >= photo.width_px || at->y_px >= photo.height_px) return outside;
  double reach_mm = margin_mm;
  for (const auto& shape : shapes.shapes)
    if (shape->mark->id == mark.id) reach_mm += shape->extent_mm / 2;
  const PixelRect rect = around(photo, *at, std::max(8.0, reach_mm * map.px_per_mm(mark.at)));
  if (rect.empty()) return outside;
  const int times = std::max(1, close_up_least_px / std::max(rect.width(), rect.height()));
  Raster out = cut(photo, rect, times);

  OverlayOptions options;
  options.selected.insert(mark.id);
  options.visible = PhotoRect{static_cast<double>(rect.left), static_cast<double>(rect.top), static_cast<double>(rect.right), static_cast<double>(rect.bottom)};
  options.zoom = times / picture_line_scale(out.width_px, out.height_px);
  OverlayScene scene = overlay_scene(shapes, map, options);
  const auto shift = [&](PhotoPoint& p) { p.x_px -= rect.left, p.y_px -= rect.top; };
  for (Stroke& stroke : scene.strokes) std::for_each(stroke.points.begin(), stroke.points.end(), shift);
  for (Dot& dot : scene.dots) shift(dot.at);
  for (Label& label : scene.labels) shift(label.anchor);
  // The part's own name stands at the upper edge: over the part it would hide the marking one wants to see.
  for (Label& label : scene.labels)
    if (label.mark && label.mark->id == mark.id) label.anchor = {rect.width() / 2.0, 12.0 / times}, label.extent_px = 0;
  if (const Result<Done> drawn = draw_scene_on(out, scene, times); !drawn) return drawn.problem();
  return out;
}

}  // namespace boardlore
