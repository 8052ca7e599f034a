// The ground a mark covers on the board: its own polygon, its circle, or its package's body and pins.
//
// Drawing, picking and clearance all ask the same question, so there is one answer. For a package the outline
// is the rectangle over body and pin centres: a lead can be bridged or knocked as well as a body.
#pragma once

#include "domain/mark.h"

namespace boardlore {

// A polygon (3 corners and more), a line (2), or, with one corner, a circle about it (radius 0: a point).
struct Shape {
  std::vector<BoardPoint> corners;
  double radius_mm = 0;
};

// Own outline before circle before package before point. Never empty.
Shape shape_of(const Mark& mark);
// The same as corners; a circle becomes a polygon of `circle_corners` on the circle.
std::vector<BoardPoint> outline_of(const Mark& mark, int circle_corners = 48);

// On the edge counts as inside; by the even-odd rule where a polygon crosses itself.
bool contains(const Shape& shape, BoardPoint point);
double area_mm2(const Shape& shape);
struct BoundingBox {
  BoardPoint low, high;
};
BoundingBox bounding_box(const Shape& shape);
// The polygon's area centroid; of a flat one the mean of its corners.
BoardPoint centroid_of(const Shape& shape);
// Signed by sense: counter-clockwise is positive (y up).
double signed_area_mm2(const std::vector<BoardPoint>& polygon);

// A displacement of the mark's (before its rotation) as a place on the board.
BoardPoint placed(const Mark& mark, Offset offset);

}  // namespace boardlore
