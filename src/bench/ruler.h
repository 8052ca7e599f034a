// A ruler laid over the photo: how far, at which angle, and how much one of n steps is (the pitch of a connector, counted
// over many pins so that a click beside the middle weighs little).
#pragma once

#include "bench/photo_view.h"

namespace boardlore {

struct RulerReading {
  double length = 0;     // mm, or photo pixels where the photo is not registered
  double angle_deg = 0;  // anticlockwise from the board's x, -180 to 180; without registration from the photo's x
  double step = 0;
  bool in_mm = false;
};
// From the first end to the second.
RulerReading read_ruler(PhotoPoint a, PhotoPoint b, int steps, const PhotoMap* map);
// "12.70 mm   31.4°", "over 5: 2.540 mm"
std::string ruler_words(const RulerReading& reading);
std::string pitch_words(const RulerReading& reading, int steps);

// Clicks and drags while the ruler is in hand; draws it wherever its photo is shown.
void use_ruler(const Scene& scene, BenchState& state, const PaneLook& look);
void draw_ruler(const Scene& scene, BenchState& state, const PaneLook& look);
void use_ruler_keys(BenchState& state);

}  // namespace boardlore
