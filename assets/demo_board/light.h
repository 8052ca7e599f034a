// What lamp, lens and sensor do to the picture: soft shadows, uneven light, blur, noise.
#pragma once
#include <cairo.h>

#include <cstdint>
#include <vector>

#include "camera.h"
#include "scenes.h"

namespace demo_board {

// Value noise on an integer lattice, smooth between, in -1..1.
double smooth_noise(double x, double y, std::uint32_t salt);
// Towards the lamp, unit length, board frame.
Solid light_direction(const Camera& camera, double from_deg);
// Darkens the photo by the blurred alpha of `shadow`; the blur is three box passes.
void cast_shadow(cairo_surface_t* photo, cairo_surface_t* shadow, double blur_px, double strength);
// Weave of the laminate, waviness and gloss of the mask; before parts are drawn.
void texture_board(cairo_surface_t* photo, const Camera& camera, const Scene& scene, Solid light);
// The finished photo, 3 bytes a pixel.
std::vector<unsigned char> expose(cairo_surface_t* photo, const Scene& scene);

}  // namespace demo_board
