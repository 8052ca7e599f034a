// Draws a scene with Cairo: as vectors into a page, or onto a picture.
#pragma once

#include <cairo.h>

#include "domain/problem.h"
#include "overlay/overlay_scene.h"
#include "pictures/raster.h"

namespace boardlore {

struct CairoCanvas {
  cairo_t* cairo = nullptr;
  ScreenFromPhoto screen_from_photo;
  double line_scale = 1;     // all line widths and symbols times this: 0.5 on a page in points
  double font_px = 14;       // in the context's units
  const char* font = "Open Sans, DejaVu Sans";
};

// Leaves the context's state as it was. Labels are real text.
void draw_scene(const OverlayScene& scene, const CairoCanvas& canvas);

// Onto the picture itself; photo pixels are raster pixels times `raster_from_photo`. Widths and text grow
// with the picture so that they can be read when it is seen as a whole.
Result<Done> draw_scene_on(Raster& raster, const OverlayScene& scene, double raster_from_photo = 1);

// How much larger than on a screen symbols must be for a picture that is looked at whole.
double picture_line_scale(int width_px, int height_px);

}  // namespace boardlore
