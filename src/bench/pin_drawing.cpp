#include "bench/pin_drawing.h"

#include <algorithm>
#include <cmath>

#include "bench/widgets.h"
#include "geometry/outline.h"
#include "geometry/pins.h"
#include "overlay/board_shapes.h"

namespace boardlore {
namespace {

// Board millimetres about the part, turned and mirrored for the eye, y up.
struct Turned {
  double xx = 1, xy = 0, yx = 0, yy = 1;
  BoardPoint operator()(BoardPoint p) const { return {xx * p.x_mm + xy * p.y_mm, yx * p.x_mm + yy * p.y_mm}; }
};

Turned as_seen(const Scene& scene, const BenchState& state, const Mark& mark) {
  const double mirror = mark.side == Side::bottom ? -1 : 1;
  const Turned plain{mirror, 0, 0, 1};
  const PaneState& pane = state.pane[state.pane_in_hand];
  const DeskPhoto* photo = scene.desk.find_photo(pane.photo);
  const PhotoMap* map = photo && photo->photo.side == mark.side ? scene.derived.map_of(photo->photo) : nullptr;
  if (!map) return plain;
  Camera camera = pane.camera;
  if (camera.zoom <= 0) camera.zoom = 1;
  const ScreenFromPhoto screen = screen_from_photo(camera, ImVec2(0, 0));
  const auto middle = map->photo_from(mark.at), up = map->photo_from({mark.at.x_mm, mark.at.y_mm + 1});
  if (!middle || !up) return plain;
  const ScreenPoint a = screen(*middle), b = screen(*up);
  const double dx = b.x - a.x, dy = a.y - b.y, length = std::hypot(dx, dy);
  if (length < 1e-9) return plain;
  // Where the board's y goes on the screen; its x is a quarter clockwise of that, mirrored from below or where the
  // view is flipped.
  const double sense = mirror * (camera.flipped ? -1 : 1);
  return {sense * dy / length, dx / length, -sense * dx / length, dy / length};
}

}  // namespace

void draw_pins(const Scene& scene, BenchState& state, const Mark& mark, float width, float height) {
  const Theme& t = scene.theme;
  const auto outline = outline_of(mark);
  if (outline.size() < 3) return;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const ImVec2 min = ImGui::GetCursorScreenPos(), max(min.x + width, min.y + height);
  const bool clicked = ImGui::InvisibleButton("pins", ImVec2(width, height)), hovered = ImGui::IsItemHovered();
  scene.anchors.note("pins", min, max);
  list.AddRectFilled(min, max, t.bench, 4);
  // Turned as the photo in view shows the part; without one, as seen from its own side.
  const Turned turned = as_seen(scene, state, mark);
  double left = 1e30, right = -1e30, low = 1e30, high = -1e30;
  const auto reach = [&](BoardPoint p) {
    const BoardPoint seen = turned(p);
    left = std::min(left, seen.x_mm), right = std::max(right, seen.x_mm);
    low = std::min(low, seen.y_mm), high = std::max(high, seen.y_mm);
  };
  for (const BoardPoint p : outline) reach(p);
  const auto pins = pins_of(mark);
  if (pins)
    for (const Pin& pin : *pins) reach(pin.at);
  const double scale = std::min((width - t.grid(16)) / std::max(right - left, 0.01), (height - t.grid(10)) / std::max(high - low, 0.01));
  const auto at = [&](BoardPoint p) {
    const BoardPoint seen = turned(p);
    return ImVec2((min.x + max.x) / 2 + static_cast<float>((seen.x_mm - (left + right) / 2) * scale),
                  (min.y + max.y) / 2 - static_cast<float>((seen.y_mm - (low + high) / 2) * scale));
  };
  std::vector<ImVec2> line;
  for (const BoardPoint p : outline) line.push_back(at(p));
  list.AddConvexPolyFilled(line.data(), static_cast<int>(line.size()), t.raised);
  list.AddPolyline(line.data(), static_cast<int>(line.size()), t.kind(MarkKind::part), ImDrawFlags_Closed, t.line_px(2));
  if (const auto pin1 = pin1_of(mark)) {
    scene.anchors.note("card-pin-1", at(*pin1), at(*pin1));
    line.clear();
    for (const BoardPoint p : wedge_at(outline, *pin1)) line.push_back(at(p));
    if (line.size() >= 3 && pin1_matters(mark)) list.AddConvexPolyFilled(line.data(), static_cast<int>(line.size()), t.kind(MarkKind::pin1));
  }
  if (!pins || pins->empty()) return;
  // Numbers only where neighbours leave room; pin 1 and the corners always.
  double nearest = 1e30;
  for (std::size_t i = 1; i < pins->size(); ++i) nearest = std::min(nearest, distance_mm((*pins)[i - 1].at, (*pins)[i].at) * scale);
  ImFont* font = scene.fonts.small;
  const double radius = std::clamp(nearest * 0.28, 1.5, 6.0 * t.scale);
  for (const Pin& pin : *pins) list.AddCircleFilled(at(pin.at), static_cast<float>(radius), t.quiet);
  // The pin under the cursor, its net in a tooltip; those on the lit net stand out.
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  const Pin* under = nullptr;
  float nearest_away = t.grid(4);
  for (const Pin& pin : *pins) {
    const ImVec2 p = at(pin.at);
    const float away = std::hypot(p.x - mouse.x, p.y - mouse.y);
    if (hovered && away < nearest_away) under = &pin, nearest_away = away;
    const auto net = mark.nets.find(pin.name);
    if (net != mark.nets.end() && net->second == state.lit_net && !state.lit_net.empty())
      list.AddCircle(p, static_cast<float>(radius) + 3 * t.scale, t.text, 0, 2 * t.scale);
  }
  if (under) {
    const auto net = mark.nets.find(under->name);
    list.AddCircle(at(under->at), static_cast<float>(radius) + 1, t.text, 0, t.line_px(1));
    if (clicked && net != mark.nets.end()) state.lit_net = state.lit_net == net->second ? "" : net->second;
    if (net != mark.nets.end()) ImGui::SetTooltip("%s  %s", under->name.c_str(), net->second.c_str());
  }
  // A number stands outside the side its pin is on, told in the part's own axes: tilted, a corner pin would seem to be on
  // the other side.
  const double turn = mark.rotation_deg * 3.14159265358979 / 180, cosine = std::cos(turn), sine = std::sin(turn);
  const auto own = [&](BoardPoint p) {
    const double dx = p.x_mm - mark.at.x_mm, dy = p.y_mm - mark.at.y_mm;
    return BoardPoint{cosine * dx + sine * dy, cosine * dy - sine * dx};
  };
  double half_x = 0.01, half_y = 0.01;
  for (const BoardPoint p : outline) half_x = std::max(half_x, std::fabs(own(p).x_mm)), half_y = std::max(half_y, std::fabs(own(p).y_mm));
  const auto out_of = [&](const Pin& pin) {
    const BoardPoint lies = own(pin.at);
    const bool along_x = std::fabs(lies.x_mm) / half_x > std::fabs(lies.y_mm) / half_y;
    const double x = along_x ? std::copysign(1, lies.x_mm) : 0, y = along_x ? 0 : std::copysign(1, lies.y_mm);
    const ImVec2 from = at(mark.at), to = at({mark.at.x_mm + cosine * x - sine * y, mark.at.y_mm + sine * x + cosine * y});
    return ImVec2(to.x - from.x, to.y - from.y);
  };
  for (std::size_t i = 0; i < pins->size(); ++i) {
    const Pin& pin = (*pins)[i];
    if (nearest < font->FontSize * 0.95 && i != 0 && i + 1 != pins->size()) continue;
    const ImVec2 p = at(pin.at), outward = out_of(pin), size = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, pin.name.c_str());
    const float away = t.grid(3);
    const bool sideways = std::fabs(outward.x) > std::fabs(outward.y);
    const ImVec2 words = sideways ? ImVec2(p.x + (outward.x > 0 ? away : -away - size.x), p.y - size.y / 2)
                                  : ImVec2(p.x - size.x / 2, p.y + (outward.y > 0 ? away * 0.6F : -away * 0.6F - size.y));
    list.AddText(font, font->FontSize, words, t.text, pin.name.c_str());
  }
}

}  // namespace boardlore
