// What is around and on the board besides parts: the mat, the board's shadow, stickers, flux.
#pragma once
#include "pen.h"
#include "scenes.h"

namespace demo_board {

inline constexpr double mat_height_mm = -4.0;

void paint_mat(cairo_surface_t* photo, const Camera& camera, const Scene& scene);
void paint_stickers(Pen& pen, const Scene& scene);
// Residue: a faint haze on the second unit, wet and amber around the reworked chip.
void paint_flux(Pen& pen, const Scene& scene);
void paint_dust(Pen& pen, const Scene& scene);

}  // namespace demo_board
