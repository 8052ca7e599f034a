// How the frame of an imported list lies on the board: found from places known in both.
//
// A list has its own origin, perhaps its own unit, and may be drawn as seen from below. Two or more points
// known in both frames (parts already on the board, or parts clicked on the photo) give a similarity: shift,
// turn, one scale, with or without a mirror. Least squares in closed form (Umeyama 1991 in two dimensions,
// from memory), once for each hand; the better fit wins. The residual is always said.
#pragma once

#include "domain/problem.h"
#include "import/placement_table.h"

namespace boardlore {

using BoardFromImport = Homography<BoardPoint, ImportPoint>;

struct TiePoint {
  std::string name;  // designator
  ImportPoint import;
  BoardPoint board;
};

struct FrameTie {
  BoardFromImport board_from_import;  // affine: last row 0 0 1
  bool mirrored = false;              // the list is drawn as seen from the bottom
  bool mirror_known = true;           // false: the points fit either hand equally, taken as not mirrored
  double scale = 1;                   // board mm per mm of the list
  double turn_deg = 0;                // [0, 360): how far the list's x axis is turned, counter-clockwise
  std::vector<double> residual_mm;    // per tie point, on the board
  double rms_mm = 0;                  // sqrt(sum of squares / points)
  double worst_mm = 0;
  std::string worst;  // name of the point furthest off
  // Four points or more: the point without which the fit is much better than with it; empty: none.
  std::string spoiler;
  double rms_without_spoiler_mm = 0;
};

enum class MirrorChoice { find, no, yes };

// Refused: fewer than two points, points that coincide in either frame, numbers that are not finite.
Result<FrameTie> tie_frames(const std::vector<TiePoint>& points, MirrorChoice mirror = MirrorChoice::find);

// The list's frame is the board's: for a list that was made from this board.
FrameTie same_frame();

// A rotation of the list, as the board counts it: counter-clockwise seen from the top, [0, 360).
double board_rotation_deg(const FrameTie& tie, double import_rotation_deg);

}  // namespace boardlore
