// What names cost on a board of 20,000 marks: scene, layout and draw list with them beside the same outlines without.
// Goal with everything in view: at most 1.5 times. At 0.26 all is in a window of 1600 x 1000 and parts are too small for
// names; at 0.41 all is in one of 2560 x 1300 and every part asks for its name; at 0.50 the view ends inside the board.
#include <benchmark/benchmark.h>
#include <imgui.h>
#include <time.h>

#include <algorithm>
#include <cstdio>

#include "overlay/canvas_imgui.h"
#include "overlay/overlay_scene.h"

using namespace boardlore;

namespace {

BoardShapes dense_board() {
  std::vector<MarkPtr> marks;
  for (int i = 0; i < 20'000; ++i) {
    Mark mark;
    char id[40];
    std::snprintf(id, sizeof id, "00000000-0000-7000-8000-%012x", i + 1);
    mark.id = Id{id}, mark.kind = MarkKind::part, mark.refdes = "C" + std::to_string(i);
    mark.at = {1.5 * (i % 200), 1.5 * (i / 200)};
    mark.outline = {{-0.5, -0.4}, {0.5, -0.4}, {0.5, 0.4}, {-0.5, 0.4}};
    marks.push_back(std::make_shared<const Mark>(mark));
  }
  return shapes_of(MarkTable(std::move(marks)), Side::top);
}

// Processor time: a busy machine does not change it.
double thread_seconds() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

double median(std::vector<double> values) {
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2), values.end());
  return values[values.size() / 2];
}

void names_on_a_dense_board(benchmark::State& state) {
  ImGui::CreateContext();
  ImGuiIO& io = ImGui::GetIO();
  io.IniFilename = nullptr;
  io.BackendFlags |= ImGuiBackendFlags_RendererHasVtxOffset;  // as the window's own back end
  const bool large = state.range(0) == 41;
  const ImVec2 window = large ? ImVec2(2560, 1300) : ImVec2(1600, 1000);
  io.DisplaySize = window;
  unsigned char* pixels = nullptr;
  int w = 0, h = 0;
  io.Fonts->GetTexDataAsAlpha8(&pixels, &w, &h);
  const BoardShapes shapes = dense_board();
  Registration registration;
  registration.board_from_photo.rows = {0.05, 0, 0, 0, -0.05, 150, 0, 0, 1};
  registration.px_per_mm = 20;
  const PhotoMap map = *PhotoMap::from(registration);
  const double zoom = static_cast<double>(state.range(0)) / 100;
  const ScreenFromPhoto screen = screen_from_photo(zoom, 0, false, {3000, 1500}, {window.x / 2.0, window.y / 2.0});
  LabelMemory memory;
  std::vector<double> with, without;
  std::size_t asked = 0, drawn = 0;
  for (auto _ : state)
    for (const bool names : {false, true}) {
      const double start = thread_seconds();
      ImGui::NewFrame();
      OverlayOptions options;
      options.zoom = zoom;
      options.labels = names ? LabelDensity::full : LabelDensity::none;
      const OverlayScene scene = overlay_scene(shapes, map, options);
      draw_scene(scene, ImGuiCanvas{ImGui::GetBackgroundDrawList(), screen, ImVec2(0, 0), window, nullptr, 0, 1, names ? &memory : nullptr});
      ImGui::Render();
      (names ? with : without).push_back(thread_seconds() - start);
      if (names) asked = scene.labels.size(), drawn = memory.place_of.size();
    }
  state.counters["with_names_ms"] = 1000 * median(with);
  state.counters["without_ms"] = 1000 * median(without);
  state.counters["names_asked"] = static_cast<double>(asked);
  state.counters["names_drawn"] = static_cast<double>(drawn);
  state.counters["with_over_without"] = median(with) / median(without);
  ImGui::DestroyContext();
}
BENCHMARK(names_on_a_dense_board)->Arg(26)->Arg(41)->Arg(50)->Unit(benchmark::kMillisecond)->Iterations(20);

}  // namespace
