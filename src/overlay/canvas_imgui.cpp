#include "overlay/canvas_imgui.h"

#include <algorithm>
#include <cmath>

#include "overlay/dashes.h"
#include "overlay/label_layout.h"

namespace boardlore {
namespace {

constexpr float halo_px = 1;  // on either side

ImU32 colour_of(Colour c, int alpha = 255) { return IM_COL32(c.r, c.g, c.b, alpha); }
ImVec2 vec(ScreenPoint p) { return {static_cast<float>(p.x), static_cast<float>(p.y)}; }

float whole(float px) { return std::max(1.0F, std::round(px)); }

struct Layer2d {
  ImU32 colour;
  float wider_px;  // than the core
};

// From the back to the front: halo, casing if any, core.
std::vector<Layer2d> layers_of(const Style& style, float scale) {
  std::vector<Layer2d> layers;
  const float casing = style.casing ? whole(2 * scale) : 0;
  layers.push_back({colour_of(style.halo, 230), casing + 2 * whole(halo_px * scale)});
  if (style.casing) layers.push_back({colour_of(*style.casing), casing});
  layers.push_back({colour_of(style.core), 0});
  return layers;
}

void draw_stroke(const Stroke& stroke, const ImGuiCanvas& canvas, const ScreenRect& view) {
  std::vector<ScreenPoint> points;
  std::vector<ImVec2> line;
  points.reserve(stroke.points.size());
  for (const PhotoPoint p : stroke.points) {
    points.push_back(canvas.screen_from_photo(p));
    line.push_back(vec(points.back()));
  }
  const Style style = style_of(stroke.role);
  const int count = static_cast<int>(line.size());
  if (stroke.filled && count >= 3) {
    canvas.list->AddConvexPolyFilled(line.data(), count, colour_of(style.core));
    canvas.list->AddPolyline(line.data(), count, colour_of(style.halo), ImDrawFlags_Closed, whole(canvas.line_scale));
    return;
  }
  const float scale = canvas.line_scale, width = whole(static_cast<float>(style.width) * scale);
  if (style.line == Line::solid) {
    const ImDrawFlags flags = stroke.closed ? ImDrawFlags_Closed : ImDrawFlags_None;
    for (const Layer2d& layer : layers_of(style, canvas.line_scale))
      canvas.list->AddPolyline(line.data(), count, layer.colour, flags, width + layer.wider_px);
    return;
  }
  const bool dotted = style.line == Line::dotted;
  const auto made = dashes(points, stroke.closed, (dotted ? 3 : 9) * scale, 5 * scale, view);
  for (const Layer2d& layer : layers_of(style, canvas.line_scale))
    for (const Dash& dash : made)
      canvas.list->AddLine(vec(dash.from), vec(dash.to), layer.colour, width + layer.wider_px);
}

void draw_dot(const Dot& dot, const ImGuiCanvas& canvas) {
  const ImVec2 at = vec(canvas.screen_from_photo(dot.at));
  const float r = static_cast<float>(dot.radius_px) * canvas.line_scale;
  if (at.x < canvas.view_min.x - r || at.y < canvas.view_min.y - r || at.x > canvas.view_max.x + r ||
      at.y > canvas.view_max.y + r)
    return;
  const Style style = style_of(dot.role);
  ImDrawList& list = *canvas.list;
  for (const Layer2d& layer : layers_of(style, canvas.line_scale)) {
    const float wide = whole(static_cast<float>(style.width) * canvas.line_scale) + layer.wider_px, grown = r + layer.wider_px / 2;
    switch (dot.shape) {
      case DotShape::disc: list.AddCircleFilled(at, grown, layer.colour, r < 4 ? 8 : 16); break;
      case DotShape::ring: list.AddCircle(at, r, layer.colour, 20, wide); break;
      case DotShape::square:
        list.AddRect({at.x - r, at.y - r}, {at.x + r, at.y + r}, layer.colour, 0, 0, wide);
        break;
      case DotShape::cross:
        list.AddLine({at.x - grown, at.y}, {at.x + grown, at.y}, layer.colour, wide);
        list.AddLine({at.x, at.y - grown}, {at.x, at.y + grown}, layer.colour, wide);
        break;
      case DotShape::diamond: {
        list.AddQuadFilled({at.x, at.y - grown}, {at.x + grown, at.y}, {at.x, at.y + grown}, {at.x - grown, at.y},
                           layer.colour);
        break;
      }
    }
  }
}

}  // namespace

void draw_scene(const OverlayScene& scene, const ImGuiCanvas& canvas) {
  const ScreenRect view{canvas.view_min.x, canvas.view_min.y, canvas.view_max.x, canvas.view_max.y};
  ImFont* font = canvas.font ? canvas.font : ImGui::GetFont();
  const float scale = canvas.line_scale;
  const float font_px = canvas.font_px > 0 ? canvas.font_px : ImGui::GetFontSize();
  for (const Stroke& stroke : scene.strokes) draw_stroke(stroke, canvas, view);
  for (const Dot& dot : scene.dots) draw_dot(dot, canvas);
  const auto measure = [&](const std::string& text) {
    const ImVec2 size = font->CalcTextSizeA(font_px, 1e9F, 0, text.c_str());
    return TextSize{size.x + 6 * scale, size.y + 2 * scale};
  };
  const std::vector<PlacedLabel> names = place_labels(scene.labels, canvas.screen_from_photo, measure, canvas.memory);
  // Round corners take eight times the vertices: where hundreds of names stand, nobody looks at corners.
  const float rounding = names.size() <= 300 ? 3 * scale : 0;
  for (const PlacedLabel& placed : names) {
    const Label& label = scene.labels[placed.label_index];
    const auto x = std::round(static_cast<float>(placed.top_left.x));
    const auto y = std::round(static_cast<float>(placed.top_left.y));
    const ImVec2 to{x + static_cast<float>(placed.size.width), y + static_cast<float>(placed.size.height)};
    if (to.x < canvas.view_min.x || to.y < canvas.view_min.y || x > canvas.view_max.x || y > canvas.view_max.y)
      continue;
    canvas.list->AddRectFilled({x, y}, to, IM_COL32(16, 16, 16, 215), rounding);
    canvas.list->AddText(font, font_px, {x + std::round(3 * scale), y + std::round(scale)}, IM_COL32(255, 255, 255, 255), label.text.c_str());
  }
}

}  // namespace boardlore
