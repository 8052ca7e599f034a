// Pictures made ready for the eye, in the window: the menu that asks for them, and the sharpness laid over a photo.
#pragma once

#include "bench/photo_view.h"

namespace boardlore {

// In the tool strip: a button with a menu.
void draw_made_menu(const Scene& scene, BenchState& state);
// The same by key.
void use_made_keys(const Scene& scene, BenchState& state);
// Over the photo, under its marks.
void draw_sharpness(const Scene& scene, const BenchState& state, const PaneLook& look);
// Half a second, one, two, and around again: how long each photo of a blinking pair is seen.
void next_blink_rate(const Scene& scene, BenchState& state);

}  // namespace boardlore
