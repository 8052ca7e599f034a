// Marks from clicks: what three corners, two pads or a few points make. Pure; ids and times are passed in.
#pragma once

#include "domain/layer.h"

namespace boardlore {

// From three corners in a row: the first two give one edge and the turn, the third how far the other edge
// is. nullopt: corners that coincide or lie on one line (under 0.05 mm).
std::optional<Mark> part_from_corners(BoardPoint first, BoardPoint second, BoardPoint third);
// A ring of at least 3 points becomes a keep-out, placed at the middle of its box.
std::optional<Mark> keepout_from_points(const std::vector<BoardPoint>& points);
// nullopt: no radius.
std::optional<Mark> keepout_from_circle(BoardPoint centre, BoardPoint on_edge);

// A board point as the mark keeps points: relative to its place and before its rotation.
Offset offset_of(const Mark& mark, BoardPoint point);

// The designator that counts on from `last` and is not on the board yet; empty where `last` is none.
std::string counted_on(const Layer& layer, const std::string& last);

// What a nudge moves: `step_mm` in the direction on the screen, straightened to whole steps along it.
BoardPoint nudged(BoardPoint at, double board_dx, double board_dy, double step_mm);

}  // namespace boardlore
