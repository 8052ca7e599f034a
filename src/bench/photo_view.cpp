#include "bench/photo_view.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "bench/command_table.h"
#include "bench/made_view.h"
#include "bench/net_view.h"
#include "bench/ruler.h"
#include "bench/view_corner.h"
#include "bench/widgets.h"
#include "overlay/canvas_imgui.h"

namespace boardlore {
namespace {

constexpr double wheel_step = 1.2;
constexpr double loupe_magnifies = 4;

void draw_empty(const Scene& scene, const PaneLook& look, const std::string& words) {
  ImFont* font = scene.fonts.body;
  const float width = std::min(look.max.x - look.min.x - scene.theme.grid(8), scene.theme.grid(110));
  const ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, width, words.c_str());
  const ImVec2 middle = look.middle();
  look.list->AddText(font, font->FontSize, ImVec2(middle.x - size.x / 2, middle.y - size.y / 2), scene.theme.quiet,
                     words.c_str(), nullptr, width);
}

void look_around(const Scene&, BenchState& state, PaneLook& look, PaneState& pane) {
  const ImGuiIO& io = ImGui::GetIO();
  const ImVec2 middle = look.middle();
  if (look.hovered && io.MouseWheel != 0) zoom_about(pane.camera, middle, io.MousePos, std::pow(wheel_step, io.MouseWheel));
  if (look.hovered && (ImGui::IsMouseClicked(2) || ImGui::IsMouseClicked(1)))
    state.gesture.panning = true, state.pane_in_hand = look.index;
  const bool held = ImGui::IsMouseDown(2) || ImGui::IsMouseDown(1);
  if (!held) state.gesture.panning = false;
  if (state.gesture.panning && state.pane_in_hand == look.index && (io.MouseDelta.x != 0 || io.MouseDelta.y != 0)) {
    // With Shift the photo turns about the pane's middle, as if held at the cursor.
    const ImVec2 now(io.MousePos.x - middle.x, io.MousePos.y - middle.y), was(now.x - io.MouseDelta.x, now.y - io.MouseDelta.y);
    if (io.KeyShift) pane.camera.turn_rad = std::remainder(pane.camera.turn_rad + std::atan2(static_cast<double>(now.y), static_cast<double>(now.x)) - std::atan2(static_cast<double>(was.y), static_cast<double>(was.x)), 2 * std::numbers::pi);
    else pan_by(pane.camera, io.MouseDelta);
  }
  look.screen_from_photo = screen_from_photo(pane.camera, middle);
}

PhotoRect visible_part(const PaneLook& look) {
  PhotoRect rect{1e30, 1e30, -1e30, -1e30};
  for (const ImVec2 corner : {look.min, look.max, ImVec2(look.min.x, look.max.y), ImVec2(look.max.x, look.min.y)}) {
    const PhotoPoint p = look.screen_from_photo.photo_from_screen({corner.x, corner.y});
    rect.left = std::min(rect.left, p.x_px), rect.right = std::max(rect.right, p.x_px);
    rect.top = std::min(rect.top, p.y_px), rect.bottom = std::max(rect.bottom, p.y_px);
  }
  return rect;
}

}  // namespace

OverlayOptions overlay_options(const Scene& scene, const BenchState& state, const PaneLook& look) {
  OverlayOptions options;
  options.selected = state.selected;
  options.hovered = state.hovered;
  options.labels = state.labels == Labels::none  ? LabelDensity::none
                   : state.labels == Labels::all ? LabelDensity::full
                                                 : LabelDensity::sparse;
  options.visible = visible_part(look);
  options.zoom = look.screen_from_photo.zoom() / scene.theme.scale;  // what is small is so in points of the eye
  if (look.hovered) options.cursor = look.cursor;
  return options;
}

PaneLook draw_pane(const Scene& scene, BenchState& state, int index, ImVec2 min, ImVec2 max) {
  PaneState& pane = state.pane[index];
  PaneLook look;
  look.index = index;
  look.min = min;
  look.max = max;
  look.list = ImGui::GetWindowDrawList();
  look.photo = scene.desk.find_photo(pane.photo);
  const std::string name = index == 0 ? "photo" : "photo-2";
  ImGui::SetCursorScreenPos(min);
  ImGui::InvisibleButton(name.c_str(), ImVec2(max.x - min.x, max.y - min.y),
                         ImGuiButtonFlags_MouseButtonLeft | ImGuiButtonFlags_MouseButtonRight | ImGuiButtonFlags_MouseButtonMiddle);
  look.hovered = ImGui::IsItemHovered(ImGuiHoveredFlags_AllowWhenBlockedByActiveItem);
  scene.anchors.note(name, min, max);
  look.list->PushClipRect(min, max, true);
  if (index != 0) look.list->AddRectFilled(min, max, scene.theme.bench);  // over the other photo, while wiping; else the panel's own ground
  if (!look.photo) {
    draw_empty(scene, look, scene.desk.photos.empty() ? "Drop photos of the board here: first the top, then the bottom."
                                                      : "Choose a photo in the roll below.");
    look.list->PopClipRect();
    return look;
  }
  look.map = scene.derived.map_of(look.photo->photo);
  const PhotoTextures::State loaded = scene.textures.ask(look.photo->path, true);
  look.width_px = loaded.width_px;
  look.height_px = loaded.height_px;
  if (!loaded.trouble.empty()) {
    draw_empty(scene, look, loaded.trouble);
    look.list->PopClipRect();
    return look;
  }
  if (!loaded.there) {
    draw_empty(scene, look, "Opening " + look.photo->photo.file + " …");
    look.list->PopClipRect();
    return look;
  }
  pane.width = max.x - min.x, pane.height = max.y - min.y;
  if (pane.camera.zoom <= 0)
    fit(pane.camera, loaded.width_px, loaded.height_px, ImVec2(max.x - min.x, max.y - min.y), scene.theme.grid(4));
  if (!state.jump_to.empty() && look.map && index == state.pane_in_hand) {
    if (const MarkPtr mark = scene.layer().marks.find(state.jump_to))
      look_at(pane, *look.map, mark_shape_of(mark).middle, mark_shape_of(mark).extent_mm, ImVec2(max.x - min.x, max.y - min.y));
    state.jump_to = Id{};
  }
  if (use_small_map(scene, state, look)) look.hovered = false;
  look_around(scene, state, look, pane);
  pane.cameras[pane.photo] = pane.camera;
  scene.textures.draw(*look.list, look.photo->path, look.screen_from_photo, min, max);
  if (index == 0) draw_sharpness(scene, state, look);
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  look.cursor = look.screen_from_photo.photo_from_screen({mouse.x, mouse.y});
  if (look.map && look.hovered) look.cursor_board = look.map->board_from(look.cursor);
  if (look.map) {
    OverlayOptions options = overlay_options(scene, state, look);
    const double reach_px = 8 * scene.theme.scale / look.screen_from_photo.zoom();
    const BoardShapes& shapes = scene.derived.shapes(scene.derived.side_of(look.photo->photo));
    if (look.hovered) {
      look.mark_under = mark_at(shapes, *look.map, look.cursor, reach_px, options);
      if (state.tool == Tool::select && !state.registering.on)
        options.hovered = state.hovered = look.mark_under ? look.mark_under->id : Id{};
    }
    OverlayScene overlay = overlay_scene(shapes, *look.map, options);
    draw_scene(overlay, ImGuiCanvas{look.list, look.screen_from_photo, min, max, scene.fonts.small, scene.fonts.small->FontSize, scene.theme.scale, &pane.names});
  }
  draw_net(scene, state, look);
  if (!loaded.whole) {
    // A hairline along the bottom edge: how much of the whole photo is there.
    const float width = (max.x - min.x) * static_cast<float>(loaded.progress);
    look.list->AddRectFilled(ImVec2(min.x, max.y - scene.theme.grid(0.75F)), ImVec2(min.x + width, max.y), scene.theme.strong);
  }
  look.list->PopClipRect();
  if (look.cursor_board && look.hovered) {
    state.cursor_board = look.cursor_board;
    state.cursor_side = scene.derived.side_of(look.photo->photo);
  }
  return look;
}

void draw_pane_top(const Scene& scene, BenchState& state, const PaneLook& look, bool placing) {
  if (!look.photo || look.width_px == 0) return;
  const Theme& t = scene.theme;
  ImDrawList& list = *look.list;
  list.PushClipRect(look.min, look.max, true);
  // The same spot in the other pane.
  if (!look.hovered && state.panes == Panes::side_by_side && state.cursor_board && look.map)
    if (const auto at = look.to_screen(*state.cursor_board)) {
      const float r = t.grid(4), gap = t.grid(1.5F);
      for (const auto& [colour, width] : {std::pair{IM_COL32(0, 0, 0, 200), 3.F}, std::pair{IM_COL32(255, 255, 255, 255), 1.F}}) {
        list.AddLine(ImVec2(at->x - r, at->y), ImVec2(at->x - gap, at->y), colour, t.line_px(width));
        list.AddLine(ImVec2(at->x + gap, at->y), ImVec2(at->x + r, at->y), colour, t.line_px(width));
        list.AddLine(ImVec2(at->x, at->y - r), ImVec2(at->x, at->y - gap), colour, t.line_px(width));
        list.AddLine(ImVec2(at->x, at->y + gap), ImVec2(at->x, at->y + r), colour, t.line_px(width));
      }
    }
  // Scale bar at the lower left, on its own plate so that it reads on any photo.
  if (look.map) {
    const PhotoPoint middle = look.screen_from_photo.photo_from_screen({look.middle().x, look.middle().y});
    const auto board = look.map->board_from(middle);
    const double px_per_mm = board ? look.map->px_per_mm(*board) * look.screen_from_photo.zoom() : 0;
    const ScaleBar bar = scale_bar(px_per_mm, t.grid(40));
    if (bar.length_px > 0) {
      const float length = static_cast<float>(bar.length_px), pad = t.grid(2);
      ImFont* font = scene.fonts.small;
      const ImVec2 words = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, bar.words.c_str());
      const ImVec2 at(look.min.x + t.grid(3), look.max.y - t.grid(3) - t.grid(8));
      const float wide = std::max(length, words.x);
      list.AddRectFilled(at, ImVec2(at.x + wide + 2 * pad, at.y + t.grid(8)), IM_COL32(0, 0, 0, 190), 4);
      list.AddText(font, font->FontSize, ImVec2(at.x + pad + (wide - words.x) / 2, at.y + t.grid(0.5F)),
                   IM_COL32(255, 255, 255, 255), bar.words.c_str());
      const float y = at.y + t.grid(6.5F), x = at.x + pad + (wide - length) / 2;
      list.AddLine(ImVec2(x, y), ImVec2(x + length, y), IM_COL32(255, 255, 255, 255), t.line_px(2));
      list.AddLine(ImVec2(x, y - t.grid(1)), ImVec2(x, y + t.grid(1)), IM_COL32(255, 255, 255, 255), t.line_px(2));
      list.AddLine(ImVec2(x + length, y - t.grid(1)), ImVec2(x + length, y + t.grid(1)), IM_COL32(255, 255, 255, 255), t.line_px(2));
    }
  }
  draw_view_corner(scene, state, look);
  draw_ruler(scene, state, look);
  const bool loupe = look.hovered && !state.gesture.panning &&
                     (state.loupe == LoupeMode::always || (state.loupe == LoupeMode::while_placing && placing));
  if (loupe) {
    const float side = t.grid(40), away = t.grid(6);
    const ImVec2 mouse = ImGui::GetIO().MousePos;
    ImVec2 at(mouse.x + away, mouse.y + away);
    if (at.x + side > look.max.x) at.x = mouse.x - away - side;
    if (at.y + side > look.max.y) at.y = mouse.y - away - side;
    const ImVec2 end(at.x + side, at.y + side), middle(at.x + side / 2, at.y + side / 2);
    Camera camera = state.pane[look.index].camera;
    camera.centre = look.cursor;
    camera.zoom = std::clamp(camera.zoom * loupe_magnifies, 0.5, max_zoom);
    const ScreenFromPhoto map = screen_from_photo(camera, middle);
    list.PushClipRect(at, end, true);
    list.AddRectFilled(at, end, t.bench);
    scene.textures.draw(list, look.photo->path, map, at, end);
    if (look.map) {
      PaneLook inner = look;
      inner.min = at, inner.max = end, inner.screen_from_photo = map, inner.hovered = false;
      OverlayOptions options = overlay_options(scene, state, inner);
      options.labels = LabelDensity::none;
      draw_scene(overlay_scene(scene.derived.shapes(scene.derived.side_of(look.photo->photo)), *look.map, options),
                 ImGuiCanvas{&list, map, at, end, scene.fonts.small, scene.fonts.small->FontSize, scene.theme.scale});
    }
    const float gap = t.grid(2);
    for (const auto& [colour, width] : {std::pair{IM_COL32(0, 0, 0, 170), 3.F}, std::pair{IM_COL32(255, 255, 255, 255), 1.F}}) {
      list.AddLine(ImVec2(at.x, middle.y), ImVec2(middle.x - gap, middle.y), colour, t.line_px(width));
      list.AddLine(ImVec2(middle.x + gap, middle.y), ImVec2(end.x, middle.y), colour, t.line_px(width));
      list.AddLine(ImVec2(middle.x, at.y), ImVec2(middle.x, middle.y - gap), colour, t.line_px(width));
      list.AddLine(ImVec2(middle.x, middle.y + gap), ImVec2(middle.x, end.y), colour, t.line_px(width));
    }
    list.PopClipRect();
    list.AddRect(at, end, IM_COL32(0, 0, 0, 255), 0, 0, t.line_px(3));
    list.AddRect(at, end, IM_COL32(255, 255, 255, 255), 0, 0, t.line_px(1));
  }
  list.PopClipRect();
}

void show_photo(const Scene& scene, BenchState& state, int index, const Id& photo) {
  PaneState& pane = state.pane[index];
  if (pane.photo == photo) return;
  const DeskPhoto* before = scene.desk.find_photo(pane.photo);
  const DeskPhoto* after = scene.desk.find_photo(photo);
  if (!after) return;
  Camera next;
  next.turn_rad = pane.camera.turn_rad;
  const PhotoMap* from = before ? scene.derived.map_of(before->photo) : nullptr;
  const PhotoMap* to = scene.derived.map_of(after->photo);
  const auto seen = pane.cameras.find(photo);
  std::optional<PhotoPoint> centre;
  if (from && to && pane.camera.zoom > 0)
    if (const auto board = from->board_from(pane.camera.centre)) {
      centre = to->photo_from(*board);
      const double before_px_per_mm = from->px_per_mm(*board), after_px_per_mm = to->px_per_mm(*board);
      const bool inside = centre && centre->x_px >= 0 && centre->y_px >= 0 && centre->x_px <= after->photo.width_px &&
                          centre->y_px <= after->photo.height_px;
      if (inside && after_px_per_mm > 0) {
        next.centre = *centre;
        next.zoom = pane.camera.zoom * before_px_per_mm / after_px_per_mm;
      }
    }
  // The other side as the board would lie after turning it over, mirrored only if the view was.
  if (from && to && before->photo.side != after->photo.side) {
    const auto at = from->board_from(pane.camera.zoom > 0 ? pane.camera.centre : PhotoPoint{before->photo.width_px / 2.0, before->photo.height_px / 2.0});
    if (at && to->photo_from(*at) && !pane.camera.flipped)
      next.turn_rad = view_turn_for(turned_over_rad(from->board_turn_rad(*at) + pane.camera.turn_rad, state.turns_over_level), to->board_turn_rad(*at), pane.camera.turn_rad);
  }
  if (next.zoom <= 0 && seen != pane.cameras.end()) next = seen->second;
  pane.photo = photo;
  pane.camera = next;
  state.gesture = Gesture{};
}

Id photo_for_side(const DeskView& desk, const Id& current, Side side) {
  if (const DeskPhoto* now = desk.find_photo(current); now && now->photo.side == side) return current;
  const DeskPhoto* best = nullptr;
  for (const DeskPhoto& entry : desk.photos)
    if (entry.photo.side == side && (!best || (entry.photo.registration && !best->photo.registration))) best = &entry;
  return best ? best->photo.id : Id{};
}

void look_at(PaneState& pane, const PhotoMap& map, BoardPoint at, double extent_mm, ImVec2 pane_size) {
  const auto place = map.photo_from(at);
  if (!place) return;
  pane.camera.centre = *place;
  // Large enough to work on: the mark takes a sixth of the pane, a point 4 mm; never farther out than now.
  const double wanted_px = std::min(pane_size.x, pane_size.y) / 6;
  const double px_per_mm = map.px_per_mm(at);
  if (px_per_mm > 0) {
    const double zoom = wanted_px / (std::max(extent_mm, 2.0) * px_per_mm);
    pane.camera.zoom = std::clamp(std::max(pane.camera.zoom, zoom), min_zoom, max_zoom);
  }
}

}  // namespace boardlore
