#include "overlay/canvas_cairo.h"

#include <pango/pangocairo.h>

#include <algorithm>
#include <memory>

#include "overlay/label_layout.h"
#include "overlay/xml_text.h"

namespace boardlore {
namespace {

constexpr double pi = 3.14159265358979323846;

struct Unref {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
  void operator()(PangoLayout* layout) const { g_object_unref(layout); }
  void operator()(PangoFontDescription* font) const { pango_font_description_free(font); }
};

void set_colour(cairo_t* cairo, Colour c) { cairo_set_source_rgb(cairo, c.r / 255.0, c.g / 255.0, c.b / 255.0); }

// Strokes the current path three times, back to front: halo, casing, core.
void stroke_path(cairo_t* cairo, const Style& style, double scale) {
  const double casing = style.casing ? 2 : 0;
  const auto pass = [&](Colour colour, double width) {
    set_colour(cairo, colour);
    cairo_set_line_width(cairo, width * scale);
    cairo_stroke_preserve(cairo);
  };
  pass(style.halo, style.width + casing + 2);
  if (style.casing) pass(*style.casing, style.width + casing);
  pass(style.core, style.width);
  cairo_new_path(cairo);
}

void draw_stroke(const Stroke& stroke, const CairoCanvas& canvas) {
  cairo_t* cairo = canvas.cairo;
  const Style style = style_of(stroke.role);
  for (const PhotoPoint p : stroke.points) {
    const ScreenPoint at = canvas.screen_from_photo(p);
    cairo_line_to(cairo, at.x, at.y);
  }
  if (stroke.closed) cairo_close_path(cairo);
  if (stroke.filled) {
    set_colour(cairo, style.halo);
    cairo_set_line_width(cairo, 2 * canvas.line_scale);
    cairo_stroke_preserve(cairo);
    set_colour(cairo, style.core);
    cairo_fill(cairo);
    return;
  }
  const double s = canvas.line_scale;
  const double dashed[] = {9 * s, 5 * s}, dotted[] = {3 * s, 5 * s};
  if (style.line == Line::dashed) cairo_set_dash(cairo, dashed, 2, 0);
  if (style.line == Line::dotted) cairo_set_dash(cairo, dotted, 2, 0);
  stroke_path(cairo, style, s);
  cairo_set_dash(cairo, nullptr, 0, 0);
}

void draw_dot(const Dot& dot, const CairoCanvas& canvas) {
  cairo_t* cairo = canvas.cairo;
  const Style style = style_of(dot.role);
  const ScreenPoint at = canvas.screen_from_photo(dot.at);
  const double s = canvas.line_scale, r = dot.radius_px * s;
  cairo_new_path(cairo);
  switch (dot.shape) {
    case DotShape::disc:
    case DotShape::diamond: {
      const auto path = [&](double radius) {
        cairo_new_path(cairo);
        if (dot.shape == DotShape::disc) {
          cairo_arc(cairo, at.x, at.y, radius, 0, 2 * pi);
        } else {
          cairo_move_to(cairo, at.x, at.y - radius);
          cairo_line_to(cairo, at.x + radius, at.y);
          cairo_line_to(cairo, at.x, at.y + radius);
          cairo_line_to(cairo, at.x - radius, at.y);
          cairo_close_path(cairo);
        }
      };
      const auto fill = [&](Colour colour, double radius) {
        path(radius);
        set_colour(cairo, colour);
        cairo_fill(cairo);
      };
      fill(style.halo, r + (style.casing ? 2 : 1) * s);
      if (style.casing) fill(*style.casing, r + s);
      fill(style.core, r);
      return;
    }
    case DotShape::ring: cairo_arc(cairo, at.x, at.y, r, 0, 2 * pi); break;
    case DotShape::square: cairo_rectangle(cairo, at.x - r, at.y - r, 2 * r, 2 * r); break;
    case DotShape::cross:
      cairo_move_to(cairo, at.x - r, at.y);
      cairo_line_to(cairo, at.x + r, at.y);
      cairo_move_to(cairo, at.x, at.y - r);
      cairo_line_to(cairo, at.x, at.y + r);
      break;
  }
  stroke_path(cairo, style, s);
}

void draw_labels(const OverlayScene& scene, const CairoCanvas& canvas) {
  cairo_t* cairo = canvas.cairo;
  const std::unique_ptr<PangoLayout, Unref> layout(pango_cairo_create_layout(cairo));
  const std::unique_ptr<PangoFontDescription, Unref> font(pango_font_description_from_string(canvas.font));
  pango_font_description_set_absolute_size(font.get(), canvas.font_px * PANGO_SCALE);
  pango_layout_set_font_description(layout.get(), font.get());
  pango_layout_set_single_paragraph_mode(layout.get(), TRUE);
  const double pad = canvas.font_px * 0.25;
  const auto measure = [&](const std::string& text) {
    const std::string clean = clean_text(text);
    pango_layout_set_text(layout.get(), clean.data(), static_cast<int>(clean.size()));
    PangoRectangle logical;
    pango_layout_get_extents(layout.get(), nullptr, &logical);
    return TextSize{static_cast<double>(logical.width) / PANGO_SCALE + 2 * pad,
                    static_cast<double>(logical.height) / PANGO_SCALE + pad};
  };
  for (const PlacedLabel& placed : place_labels(scene.labels, canvas.screen_from_photo, measure)) {
    measure(scene.labels[placed.label_index].text);  // sets the layout's text
    cairo_set_source_rgba(cairo, 0.06, 0.06, 0.06, 0.85);
    cairo_rectangle(cairo, placed.top_left.x, placed.top_left.y, placed.size.width, placed.size.height);
    cairo_fill(cairo);
    cairo_set_source_rgb(cairo, 1, 1, 1);
    cairo_move_to(cairo, placed.top_left.x + pad, placed.top_left.y + pad / 2);
    pango_cairo_show_layout(cairo, layout.get());
  }
}

// Cairo's ARGB32 is premultiplied and in the machine's byte order; photos are opaque.
void to_cairo(const Raster& raster, unsigned char* data, int stride) {
  for (int row = 0; row < raster.height_px; ++row) {
    auto* out = reinterpret_cast<std::uint32_t*>(data + static_cast<std::ptrdiff_t>(row) * stride);
    const std::uint8_t* in = raster.pixel(0, row);
    for (int column = 0; column < raster.width_px; ++column, in += 4)
      out[column] = 0xFF000000U | static_cast<std::uint32_t>(in[0] << 16 | in[1] << 8 | in[2]);
  }
}

void from_cairo(const unsigned char* data, int stride, Raster& raster) {
  for (int row = 0; row < raster.height_px; ++row) {
    const auto* in = reinterpret_cast<const std::uint32_t*>(data + static_cast<std::ptrdiff_t>(row) * stride);
    std::uint8_t* out = raster.pixel(0, row);
    for (int column = 0; column < raster.width_px; ++column, out += 4) {
      out[0] = static_cast<std::uint8_t>(in[column] >> 16);
      out[1] = static_cast<std::uint8_t>(in[column] >> 8);
      out[2] = static_cast<std::uint8_t>(in[column]);
      out[3] = 255;
    }
  }
}

}  // namespace

double picture_line_scale(int width_px, int height_px) { return std::max(1.0, std::max(width_px, height_px) / 1600.0); }

void draw_scene(const OverlayScene& scene, const CairoCanvas& canvas) {
  cairo_save(canvas.cairo);
  cairo_set_line_join(canvas.cairo, CAIRO_LINE_JOIN_ROUND);
  cairo_new_path(canvas.cairo);
  for (const Stroke& stroke : scene.strokes) draw_stroke(stroke, canvas);
  for (const Dot& dot : scene.dots) draw_dot(dot, canvas);
  draw_labels(scene, canvas);
  cairo_restore(canvas.cairo);
}

Result<Done> draw_scene_on(Raster& raster, const OverlayScene& scene, double raster_from_photo) {
  const std::unique_ptr<cairo_surface_t, Unref> surface(
      cairo_image_surface_create(CAIRO_FORMAT_ARGB32, raster.width_px, raster.height_px));
  if (const cairo_status_t status = cairo_surface_status(surface.get()); status != CAIRO_STATUS_SUCCESS)
    return Problem{"", "drawing", "a picture of at most 32767 pixels a side",
                   std::to_string(raster.width_px) + " x " + std::to_string(raster.height_px) + " (" +
                       cairo_status_to_string(status) + ")"};
  cairo_surface_flush(surface.get());
  unsigned char* data = cairo_image_surface_get_data(surface.get());
  const int stride = cairo_image_surface_get_stride(surface.get());
  to_cairo(raster, data, stride);
  cairo_surface_mark_dirty(surface.get());
  {
    const std::unique_ptr<cairo_t, Unref> cairo(cairo_create(surface.get()));
    const double scale = picture_line_scale(raster.width_px, raster.height_px);
    CairoCanvas canvas;
    canvas.cairo = cairo.get();
    canvas.screen_from_photo = {raster_from_photo, 0, 0, raster_from_photo, 0, 0};
    canvas.line_scale = scale;
    canvas.font_px = 13 * scale;
    draw_scene(scene, canvas);
  }
  cairo_surface_flush(surface.get());
  from_cairo(data, stride, raster);
  return Done{};
}

}  // namespace boardlore
