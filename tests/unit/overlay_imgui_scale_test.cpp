// Lines and symbols over the photo grow with the type: on a screen of twice the density they are twice as many pixels wide.
#include <doctest/doctest.h>

#include <imgui.h>
#include <imgui_internal.h>

#include <algorithm>

#include "overlay/canvas_imgui.h"

using namespace boardlore;

namespace {

// How far from the left of a part's left edge at x = 100 to the right of it is painted, in pixels, edges' smoothing left out.
float width_of_edge(float scale) {
  ImDrawListSharedData shared;
  shared.CurveTessellationTol = 1.25F;
  ImDrawList list(&shared);
  list._ResetForNewFrame();
  list.PushClipRectFullScreen();
  OverlayScene scene;
  Stroke stroke;
  stroke.points = {{100, 50}, {100, 150}};
  scene.strokes.push_back(stroke);
  ImGuiCanvas canvas;
  canvas.list = &list;
  canvas.view_max = ImVec2(1000, 1000);
  canvas.font = ImGui::GetFont();
  canvas.font_px = 14;
  canvas.line_scale = scale;
  draw_scene(scene, canvas);
  float left = 1e9F, right = -1e9F;
  for (const ImDrawVert& vertex : list.VtxBuffer) left = std::min(left, vertex.pos.x), right = std::max(right, vertex.pos.x);
  return right - left;
}

}  // namespace

TEST_CASE("a part's outline is as wide to the eye at every scale") {
  ImGui::CreateContext();
  unsigned char* pixels = nullptr;
  int width = 0, height = 0;
  ImGui::GetIO().Fonts->GetTexDataAsAlpha8(&pixels, &width, &height);
  ImGui::GetIO().DisplaySize = ImVec2(1000, 1000);
  ImGui::NewFrame();
  // Core of 2 px and a halo of 1 px on either side (overlay/colours.h).
  CHECK(width_of_edge(1) == doctest::Approx(4).epsilon(0.01));
  CHECK(width_of_edge(2) == doctest::Approx(8).epsilon(0.01));
  CHECK(width_of_edge(1.25F) == doctest::Approx(5).epsilon(0.01));  // whole pixels: 3 and 1 on either side
  ImGui::EndFrame();
  ImGui::DestroyContext();
}
