// Draws shapes given in board millimetres (and height above the board) straight into the photo:
// every outline is projected point by point, so perspective is exact and edges stay sharp.
#pragma once
#include <cairo.h>

#include <string_view>
#include <vector>

#include "camera.h"

namespace demo_board {

struct Ink {
  double r = 0, g = 0, b = 0, a = 1;
};
Ink shade(Ink ink, double factor);
Ink mix(Ink a, Ink b, double share_of_b);

using Outline = std::vector<Solid>;

Outline circle_at(Point centre, double radius, double height = 0, int corners = 32);
Outline raised(const std::vector<Point>& flat, double height);

class Pen {
 public:
  Pen(cairo_surface_t* surface, const Camera& camera);
  ~Pen();
  Pen(const Pen&) = delete;
  Pen& operator=(const Pen&) = delete;

  void fill(const Outline& outline, Ink ink);
  void fill_graded(const Outline& outline, Solid from, Ink first, Solid to, Ink last);
  void fill_glow(const Outline& outline, Solid centre, double radius_mm, Ink middle, Ink rim);
  void line(const Outline& path, double width_mm, Ink ink);
  // One line of single-stroke text around `centre`; the unit vectors say where right and up are.
  void text(std::string_view words, Solid centre, Point along_unit, Point up_unit, double height_mm,
            double stroke_mm, Ink ink);
  const Camera& camera() const { return camera_; }

 private:
  void trace(const Outline& outline);
  cairo_t* cairo_;
  const Camera& camera_;
};

}  // namespace demo_board
