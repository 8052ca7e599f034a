// The marks of one side as shapes in board millimetres, ready to be laid over any photo.
//
// Working a shape out (package, turn, pin 1, hatching) costs more than drawing it, and a layer changes one
// mark at a time. So shapes are made once a snapshot and kept for every mark that is still the same
// object; a frame then only looks at boxes and maps what is in view.
#pragma once

#include <cstdint>
#include <unordered_map>
#include <vector>

#include "domain/layer.h"

namespace boardlore {

struct BoardBox {
  double left_mm = 0, bottom_mm = 0, right_mm = 0, top_mm = 0;
};

struct PinShape {
  std::string name;
  BoardPoint at;
};

struct MarkShape {
  MarkPtr mark;
  std::vector<BoardPoint> outline;       // closed; empty: a point
  std::vector<BoardPoint> pin1_wedge;    // closed and filled; empty: pin 1 not known or not worth a mark
  std::optional<BoardPoint> pin1;
  std::vector<std::pair<BoardPoint, BoardPoint>> hatching;  // keep-outs
  std::vector<PinShape> pins;            // as far as the package says
  BoardPoint middle;                     // of the outline's box; the place, where there is no outline
  double extent_mm = 0;                  // longer side of the box; 0 for a point
  std::uint64_t order = 0;               // scattered, the same on every machine: which of two equal names comes first
};

// FNV-1a: the same order of names on every machine and in every run.
std::uint64_t fixed_order(const std::string& text);

struct BoardShapes {
  std::vector<std::shared_ptr<const MarkShape>> shapes;  // by id
  std::vector<BoardBox> boxes;                           // same order; what a cull looks at
};

// `previous`: shapes of an earlier state, whose unchanged marks are taken over; may be empty.
BoardShapes shapes_of(const MarkTable& marks, Side side, const BoardShapes& previous = {});

// One mark, whatever its side.
MarkShape mark_shape_of(const MarkPtr& mark);

// Diagonal hatching of a polygon, lines `spacing_mm` apart, even-odd; none for spacing <= 0.
std::vector<std::pair<BoardPoint, BoardPoint>> hatching_of(const std::vector<BoardPoint>& polygon, double spacing_mm);

// A resistor has no way round: its first pin is a name, not a warning.
bool pin1_matters(const Mark& mark);

// A right-angled wedge in the corner of the outline nearest to pin 1, or for a round body a tip that points
// from pin 1 at its edge to the middle. Empty for fewer than 3 points.
std::vector<BoardPoint> wedge_at(const std::vector<BoardPoint>& outline, BoardPoint pin1);

}  // namespace boardlore
