// Writes a scene as SVG that lies over a picture in a page.
//
// Nothing in it can run or fetch: shapes and text only, text escaped. Every mark is one group with the
// mark's own class, so that a page can light it up by a style rule alone.
#pragma once

#include <string>

#include "overlay/overlay_scene.h"

namespace boardlore {

struct SvgCanvas {
  double width_px = 0, height_px = 0;  // of the picture as shown: the viewBox
  ScreenFromPhoto screen_from_photo;
  double line_scale = 1;
  double font_px = 14;
  std::string describes;               // read out in place of the drawing; empty: hidden from readers
};

// Class of a mark's group: "m-" and the letters, digits and hyphens of its id.
std::string mark_class(const Id& mark);

// A whole <svg> element. Colours and widths stand in the page's style sheet: svg_style().
std::string svg_of(const OverlayScene& scene, const SvgCanvas& canvas);
std::string svg_style();

}  // namespace boardlore
