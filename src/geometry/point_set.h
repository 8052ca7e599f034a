// Can this set of points carry a map? Refusals in words that say which point to look at.
#pragma once

#include "domain/problem.h"
#include "domain/registration.h"

namespace boardlore {

// A set counts as lying on a line where its width across the line is under this part of its length: across the
// line every pick error is then multiplied by more than 50.
constexpr double line_width_ratio = 0.02;

// The model that the points carry: by the number of different places. Refuses fewer than two, coordinates that
// are not finite, and points that coincide in one frame but not in the other.
Result<MapModel> model_for(const std::vector<Fiducial>& fiducials);
// Refuses sets on a line, and four places of which three are on a line.
Result<Done> check_spread(const std::vector<Fiducial>& fiducials, MapModel model);
// Refuses a map whose horizon passes between the points (crossed order), and one that shows the other side.
Result<Done> check_map(const BoardFromPhoto& board_from_photo, const std::vector<Fiducial>& fiducials, Side side);

}  // namespace boardlore
