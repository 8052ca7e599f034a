#include "overlay/svg_canvas.h"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <map>

#include "overlay/label_layout.h"
#include "overlay/xml_text.h"

namespace boardlore {
namespace {

// A tenth of a unit is far below what is seen; never in the locale's way.
std::string number(double value) {
  char text[32];
  if (!std::isfinite(value)) return "0";
  const auto end = std::to_chars(text, text + sizeof text, std::round(value * 10) / 10);
  std::string printed(text, end.ptr);
  return printed == "-0" ? "0" : printed;
}

const char* class_of(Role role) {
  switch (role) {
    case Role::part: return "part";
    case Role::pin1: return "pin1";
    case Role::keepout: return "keepout";
    case Role::probe: return "probe";
    case Role::note: return "note";
    case Role::selected: return "selected";
    case Role::hovered: return "hovered";
    case Role::heated: return "heated";
    case Role::fiducial: return "fiducial";
    case Role::residual: return "residual";
    case Role::board: return "board";
  }
  return "";
}

std::string path_of(const Stroke& stroke, const ScreenFromPhoto& map) {
  std::string d;
  for (const PhotoPoint p : stroke.points) {
    const ScreenPoint at = map(p);
    d += (d.empty() ? "M" : "L") + number(at.x) + " " + number(at.y);
  }
  return stroke.closed ? d + "Z" : d;
}

std::string path_of(const Dot& dot, const SvgCanvas& canvas) {
  const ScreenPoint at = canvas.screen_from_photo(dot.at);
  const double r = dot.radius_px * canvas.line_scale;
  const auto p = [&](double dx, double dy) { return number(at.x + dx * r) + " " + number(at.y + dy * r); };
  switch (dot.shape) {
    case DotShape::disc:
    case DotShape::ring: {
      const std::string arc = "A" + number(r) + " " + number(r) + " 0 1 1 ";
      return "M" + p(-1, 0) + arc + p(1, 0) + arc + p(-1, 0) + "Z";
    }
    case DotShape::cross: return "M" + p(-1, 0) + "L" + p(1, 0) + "M" + p(0, -1) + "L" + p(0, 1);
    case DotShape::diamond: return "M" + p(0, -1) + "L" + p(1, 0) + "L" + p(0, 1) + "L" + p(-1, 0) + "Z";
    case DotShape::square: return "M" + p(-1, -1) + "L" + p(1, -1) + "L" + p(1, 1) + "L" + p(-1, 1) + "Z";
  }
  return "";
}

std::string drawn_twice(const std::string& path, const char* role, bool filled) {
  const std::string fill = filled ? " f" : "";
  return "<path class=\"halo" + fill + "\" d=\"" + path + "\"/><path class=\"" + std::string(role) + fill +
         "\" d=\"" + path + "\"/>";
}

// No font is at hand here: wide enough for any of the page's own, counted in characters.
TextSize measured(const std::string& text, double font_px) {
  const auto characters = std::count_if(text.begin(), text.end(),
                                        [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; });
  return {static_cast<double>(characters) * font_px * 0.64 + font_px * 0.5, font_px * 1.25};
}

}  // namespace

std::string mark_class(const Id& mark) {
  std::string name = "m-";
  for (const char c : mark.text)  // also in style sheets: nothing else gets through
    if (std::isalnum(static_cast<unsigned char>(c)) || c == '-') name += c;
  return name;
}

std::string svg_of(const OverlayScene& scene, const SvgCanvas& canvas) {
  // By mark, in drawing order of the first piece, so that one rule lights all of it.
  std::vector<std::pair<const Mark*, std::string>> groups;
  std::map<const Mark*, std::size_t> group_of;
  const auto group = [&](const MarkPtr& mark) -> std::string& {
    const auto [found, is_new] = group_of.try_emplace(mark.get(), groups.size());
    if (is_new) groups.emplace_back(mark.get(), "");
    return groups[found->second].second;
  };
  for (const Stroke& stroke : scene.strokes)
    group(stroke.mark) += drawn_twice(path_of(stroke, canvas.screen_from_photo), class_of(stroke.role), stroke.filled);
  for (const Dot& dot : scene.dots)
    group(dot.mark) += drawn_twice(path_of(dot, canvas), class_of(dot.role),
                                   dot.shape == DotShape::disc || dot.shape == DotShape::diamond);
  const auto measure = [&](const std::string& text) { return measured(text, canvas.font_px); };
  for (const PlacedLabel& placed : place_labels(scene.labels, canvas.screen_from_photo, measure)) {
    const Label& label = scene.labels[placed.label_index];
    group(label.mark) += "<rect class=\"plate\" x=\"" + number(placed.top_left.x) + "\" y=\"" +
                         number(placed.top_left.y) + "\" width=\"" + number(placed.size.width) + "\" height=\"" +
                         number(placed.size.height) + "\" rx=\"" + number(canvas.font_px * 0.2) +
                         "\"/><text text-anchor=\"middle\" font-size=\"" + number(canvas.font_px) + "\" x=\"" +
                         number(placed.top_left.x + placed.size.width / 2) + "\" y=\"" +
                         number(placed.top_left.y + canvas.font_px * 0.98) + "\">" + escape_xml(label.text) + "</text>";
  }
  std::string svg = "<svg class=\"overlay\" viewBox=\"0 0 " + number(canvas.width_px) + " " +
                    number(canvas.height_px) + "\" ";
  svg += canvas.describes.empty() ? "aria-hidden=\"true\">"
                                  : "role=\"img\" aria-label=\"" + escape_xml(canvas.describes) + "\">";
  for (const auto& [mark, content] : groups)
    svg += mark ? "<g class=\"mark " + mark_class(mark->id) + "\">" + content + "</g>" : content;
  return svg + "</svg>";
}

std::string svg_style() {
  std::string css =
      ".overlay path{fill:none;vector-effect:non-scaling-stroke;stroke-linejoin:round}"
      ".overlay .halo{stroke:#000;stroke-opacity:.85;stroke-width:4}.overlay .halo.f{fill:#000}"
      ".overlay .plate{fill:#101010;fill-opacity:.88}.overlay text{fill:#fff;font-family:inherit;font-weight:600}";
  for (const Role role : all_roles) {
    const Style style = style_of(role);
    const std::string name = class_of(role), colour = to_hex(style.core).text;
    css += ".overlay ." + name + "{stroke:" + colour + ";stroke-width:" + std::to_string(style.width);
    if (style.line == Line::dashed) css += ";stroke-dasharray:9 5";
    if (style.line == Line::dotted) css += ";stroke-dasharray:3 5";
    css += "}.overlay ." + name + ".f{fill:" + colour + "}";
  }
  return css;
}

}  // namespace boardlore
