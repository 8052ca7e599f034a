// What changed on the board outside of its parts: solder where none was, a ball, flux, something gone.
#pragma once

#include "alignment/compare.h"
#include "alignment/part_patch.h"

namespace boardlore {

// Largest first, at most 50. Grounds of parts and their close surroundings (pads, lean, shadow) are left out;
// changes below 0.2 mm2 or that a shift of 0.15 mm explains are not counted.
std::vector<SurroundingChange> changes_outside(const BoardPicture& before_rgb, const BoardPicture& after_rgb,
                                               const std::vector<PartBox>& parts, const std::vector<BoardPoint>& outline);

// By how much either picture leaves the range of its neighbourhood in the other, local light and colour evened
// out; CV_32F, about 0.75 from where a person sees a change.
cv::Mat local_difference(const BoardPicture& before_rgb, const BoardPicture& after_rgb);

}  // namespace boardlore
