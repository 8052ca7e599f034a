#include "pen.h"

#include <algorithm>
#include <cmath>

#include "stroke_letters.h"

namespace demo_board {

Ink shade(Ink ink, double f) {
  return {std::clamp(ink.r * f, 0.0, 1.0), std::clamp(ink.g * f, 0.0, 1.0), std::clamp(ink.b * f, 0.0, 1.0), ink.a};
}

Ink mix(Ink a, Ink b, double t) {
  return {a.r + (b.r - a.r) * t, a.g + (b.g - a.g) * t, a.b + (b.b - a.b) * t, a.a + (b.a - a.a) * t};
}

Outline circle_at(Point centre, double radius, double height, int corners) {
  Outline list;
  for (int i = 0; i < corners; ++i) {
    const double a = 2 * 3.14159265358979323846 * i / corners;
    list.push_back({centre.x + radius * std::cos(a), centre.y + radius * std::sin(a), height});
  }
  return list;
}

Outline raised(const std::vector<Point>& flat, double height) {
  Outline list;
  for (Point p : flat) list.push_back({p.x, p.y, height});
  return list;
}

Pen::Pen(cairo_surface_t* surface, const Camera& camera) : cairo_(cairo_create(surface)), camera_(camera) {
  cairo_set_line_cap(cairo_, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_ROUND);
}

Pen::~Pen() { cairo_destroy(cairo_); }

void Pen::trace(const Outline& outline) {
  cairo_new_path(cairo_);
  for (const Solid& s : outline) {
    const Point p = camera_.photo_px(s);
    cairo_line_to(cairo_, p.x, p.y);
  }
}

void Pen::fill(const Outline& outline, Ink ink) {
  trace(outline);
  cairo_close_path(cairo_);
  cairo_set_source_rgba(cairo_, ink.r, ink.g, ink.b, ink.a);
  cairo_fill(cairo_);
}

void Pen::fill_graded(const Outline& outline, Solid from, Ink first, Solid to, Ink last) {
  trace(outline);
  cairo_close_path(cairo_);
  const Point a = camera_.photo_px(from), b = camera_.photo_px(to);
  cairo_pattern_t* ramp = cairo_pattern_create_linear(a.x, a.y, b.x, b.y);
  cairo_pattern_add_color_stop_rgba(ramp, 0, first.r, first.g, first.b, first.a);
  cairo_pattern_add_color_stop_rgba(ramp, 1, last.r, last.g, last.b, last.a);
  cairo_set_source(cairo_, ramp);
  cairo_fill(cairo_);
  cairo_pattern_destroy(ramp);
}

void Pen::fill_glow(const Outline& outline, Solid centre, double radius_mm, Ink middle, Ink rim) {
  trace(outline);
  cairo_close_path(cairo_);
  const Point c = camera_.photo_px(centre);
  cairo_pattern_t* ramp = cairo_pattern_create_radial(c.x, c.y, 0, c.x, c.y, radius_mm * camera_.px_per_mm());
  cairo_pattern_add_color_stop_rgba(ramp, 0, middle.r, middle.g, middle.b, middle.a);
  cairo_pattern_add_color_stop_rgba(ramp, 1, rim.r, rim.g, rim.b, rim.a);
  cairo_set_source(cairo_, ramp);
  cairo_fill(cairo_);
  cairo_pattern_destroy(ramp);
}

void Pen::line(const Outline& path, double width_mm, Ink ink) {
  trace(path);
  cairo_set_line_width(cairo_, width_mm * camera_.px_per_mm());
  cairo_set_source_rgba(cairo_, ink.r, ink.g, ink.b, ink.a);
  cairo_stroke(cairo_);
}

void Pen::text(std::string_view words, Solid centre, Point along, Point up, double height_mm, double stroke_mm, Ink ink) {
  const double left = -stroke_text_width(words) / 2;
  for (const Stroke& stroke : stroke_text(words)) {
    Outline path;
    for (Point p : stroke) {
      const double u = (left + p.x) * height_mm, v = (p.y - 0.5) * height_mm;
      path.push_back({centre.x + along.x * u + up.x * v, centre.y + along.y * u + up.y * v, centre.height_mm});
    }
    line(path, stroke_mm, ink);
  }
}

}  // namespace demo_board
