// Draws a scene into a Dear ImGui draw list.
//
// Lines are whole pixels wide: fractional widths take twice the vertices. Nothing is kept between frames but,
// where given, which names stood.
#pragma once

#include <imgui.h>

#include "overlay/label_layout.h"
#include "overlay/overlay_scene.h"

namespace boardlore {

struct ImGuiCanvas {
  ImDrawList* list = nullptr;
  ScreenFromPhoto screen_from_photo;
  ImVec2 view_min, view_max;  // window coordinates; what is outside may be left out
  ImFont* font = nullptr;     // nullptr: the current one
  float font_px = 0;          // 0: the current size
  float line_scale = 1;  // all line widths and symbols times this, widths in whole pixels: 2 where type is twice as large
  LabelMemory* memory = nullptr;  // of the pane, so that names stay while it is panned
};

void draw_scene(const OverlayScene& scene, const ImGuiCanvas& canvas);

}  // namespace boardlore
