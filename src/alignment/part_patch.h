// A part's patch of a board picture, turned so that the part lies straight, and how alike two patches are.
#pragma once

#include <optional>

#include "alignment/board_picture.h"
#include "domain/mark.h"

namespace boardlore {

// The part's body as a box: along x and y before its rotation.
struct PartBox {
  BoardPoint centre;
  double half_x_mm = 0, half_y_mm = 0;
  double rotation_deg = 0;
  double height_mm = 0;  // over the board; where nobody said, as its package allows, and no taller than it is wide

  double short_side_mm() const { return 2 * std::min(half_x_mm, half_y_mm); }
  bool nearly_square() const { return std::max(half_x_mm, half_y_mm) < 1.12 * std::min(half_x_mm, half_y_mm); }
};

// nullopt: the mark has neither a body nor an outline.
std::optional<PartBox> part_box(const Mark& mark);

// The picture of the box grown by `margin_mm`, its x axis to the right, displaced on the board by `offset`.
// `seen`: share of it that the photo shows.
cv::Mat part_patch(const BoardPicture& board, const PartBox& box, double margin_mm, Offset offset, double& seen);

struct Likeness {
  double score = 0;              // correlation of patterns, at most 1
  double shift_x_mm = 0, shift_y_mm = 0;  // in the patch's axes: where in `wide` the pattern lies
};

// Where a pattern may lie: within a distance of a line from one shift to another, in the patch's axes. Everywhere without it.
struct Reach {
  Offset from, to;
  double within_mm = 1e6;
  double distance_mm(double shift_x_mm, double shift_y_mm) const;  // to the line
};

// The pattern is looked for in the wider patch. Brightness, contrast and slow changes of light over the patch do not count.
Likeness likeness_of(const cv::Mat& pattern, const cv::Mat& wide, double px_per_mm, const Reach& reach = {});

// Quick changes of grey only, of about unit contrast; `reach_px` is what counts as slow.
cv::Mat pattern_of(const cv::Mat& patch, double reach_px);

}  // namespace boardlore
