// Two photos at once: beside each other with linked cursors, one wiped over the other, or blinking.
//
// Before and after, or both sides. Where both are registered the second follows the first, so that the same
// spot of the board lies in the same place; turned over, it is mirrored about the axis the board turns on.
#pragma once

#include "bench/photo_view.h"

namespace boardlore {

// Switches between one photo and `panes`; picks a second photo where there is none.
void choose_panes(const Scene& scene, BenchState& state, Panes panes);
// The camera for the second photo that shows the board as the first does; nullopt: not both registered.
std::optional<Camera> following_camera(const Camera& first, const PhotoMap& first_map, const PhotoMap& second_map, bool same_side);
// Draws one or two panes in the rectangle; returns the pane the cursor is in (the first, if in none).
PaneLook draw_panes(const Scene& scene, BenchState& state, ImVec2 min, ImVec2 max);

}  // namespace boardlore
