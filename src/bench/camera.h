// How one pane looks at its photo: where, how close, which way round. Pure; the pane keeps one of these.
#pragma once

#include <imgui.h>

#include <string>

#include "overlay/view.h"

namespace boardlore {

struct Camera {
  PhotoPoint centre;       // lies in the middle of the pane
  double zoom = 0;         // screen pixels a photo pixel; 0: fit to the pane when it is next drawn
  double turn_rad = 0;     // clockwise on the screen
  bool flipped = false;    // left to right, after the turn

  bool operator==(const Camera&) const = default;
};

// From a photo wholly in a corner of the pane to a pixel as large as a thumb; at the edge: clamped.
constexpr double min_zoom = 0.005, max_zoom = 64;

ScreenFromPhoto screen_from_photo(const Camera& camera, ImVec2 pane_middle);
// The whole photo in the pane, with a margin around it; turn and flip stay.
void fit(Camera& camera, int width_px, int height_px, ImVec2 pane_size, float margin);
// What lies under `fixed` stays there.
void zoom_about(Camera& camera, ImVec2 pane_middle, ImVec2 fixed, double factor);
void pan_by(Camera& camera, ImVec2 screen_pixels);
// By quarters, clockwise for > 0; turned to the next quarter where it stood between two.
void turn_quarter(Camera& camera, int quarters);

// A bar of a round length (1, 2 or 5 times a power of ten) that is at most `longest_px` on the screen.
struct ScaleBar {
  double length_mm = 0, length_px = 0;
  std::string words;  // "5 mm", "200 µm"
};
// Nothing to show (length_px 0) where there is no scale.
ScaleBar scale_bar(double screen_px_per_mm, double longest_px);

}  // namespace boardlore
