// The pane's upper right corner, empty while there is nothing to say: a small map of the whole photo while zoomed in, turned
// as the view is, and a sign of which way round the board lies when it does not stand upright.
#pragma once

#include "bench/photo_view.h"

namespace boardlore {

// How the board is seen: clockwise from "board y points up the screen", -pi to pi, and whether mirrored from how its side
// looks from above.
struct BoardAttitude {
  double turn_rad = 0;
  bool mirrored = false;
};
std::optional<BoardAttitude> board_attitude(const PaneLook& look, const Camera& camera);
// "upright", "90° to the right", "upside down, mirrored"
std::string attitude_words(const BoardAttitude& attitude);

// How the board lies after it was turned over on the bench, left to right, or, `level`, top to bottom.
double turned_over_rad(double turn_before_rad, bool level);
// The view's turn that shows it so in a photo where it is turned by `photo_turn_rad`; by whole quarters where the view before
// was, so that photos stand straight.
double view_turn_for(double wanted_turn_rad, double photo_turn_rad, double view_turn_before_rad);

// Whether the small map has the mouse; moves the view while it is held there. Call before anything else looks at clicks.
bool use_small_map(const Scene& scene, BenchState& state, const PaneLook& look);
void draw_view_corner(const Scene& scene, BenchState& state, const PaneLook& look);

}  // namespace boardlore
