// A frame of the whole window with 20,000 marks of which 300 are in view, beside one with those 300 alone.
//
// Goal: at most 1.3 times as long. The photo is the demo board's, fitted into a 1600 x 1000 window drawn by
// software; the other marks lie on the same board beyond the photo's edge, as on a panel seen in part.
// Both in turn (60 frames each, three rounds), so that a busy machine slows both alike. Counter `many_over_few` is of medians.
#include <GL/gl.h>
#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>

#include "bench/app.h"
#include "bench/tasks.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "support/places.h"
#include "support/temporary_folder.h"

using namespace boardlore;

namespace {

// The demo board with `count` chip capacitors: 300 on a grid over it, the rest from 200 mm on.
void lay_out_board(const std::filesystem::path& dir, int count) {
  std::filesystem::copy(places::source_dir() / "boards/brackenwick-gc12", dir);
  const std::filesystem::path file = dir / "layer.json";
  Result<Layer> layer = read_layer(*read_file(file), "layer.json");
  std::vector<MarkPtr> marks;
  for (int i = 0; i < count; ++i) {
    Mark mark;
    char id[40];
    std::snprintf(id, sizeof id, "00000000-0000-7000-8000-%012x", i + 1);
    mark.id = Id{id};
    mark.kind = MarkKind::part;
    mark.refdes = "C" + std::to_string(i + 1);
    mark.at = i < 300 ? BoardPoint{10 + 5.0 * (i % 25), 10 + 6.0 * (i / 25)} : BoardPoint{10 + 0.6 * (i % 200), 200 + 0.7 * (i / 200)};
    mark.outline = {{-1, -0.5}, {1, -0.5}, {1, 0.5}, {-1, 0.5}};
    marks.push_back(std::make_shared<const Mark>(mark));
  }
  layer->marks = MarkTable(std::move(marks));
  if (!write_file_atomically(file, write_layer(*layer))) std::abort();
}

double median(std::vector<double> values) {
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2), values.end());
  return values[values.size() / 2];
}

std::vector<double> frame_seconds(const std::filesystem::path& dir, int frames) {
  setenv("BOARDLORE_OFFSCREEN", "1", 1);
  setenv("SDL_VIDEODRIVER", "offscreen", 1);
  setenv("BOARDLORE_SCALE", "1", 1);
  setenv("BOARDLORE_INDEX", (dir.parent_path() / "shop.sqlite").c_str(), 1);
  auto window = Window::open({});
  if (!window) return {};
  std::vector<double> seconds;
  {
    BenchApp app(*window, dir.parent_path());
    app.open(dir);
    for (int quiet = 0; quiet < 5; quiet = app.at_rest() ? quiet + 1 : 0) {
      app.frame();
      glFinish();  // off screen nothing holds frames back, and they would queue up
    }
    for (int i = 0; i < frames; ++i) {
      // The cursor wanders over the photo: a frame in which nothing happens is not drawn at all.
      SDL_Event moved{};
      moved.type = SDL_MOUSEMOTION;
      moved.motion.x = 600 + i % 200;
      moved.motion.y = 450 + i % 90;
      SDL_PushEvent(&moved);
      const auto start = std::chrono::steady_clock::now();
      app.frame();
      glFinish();
      seconds.push_back(std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    }
  }
  while (tasks_at_work > 0) {}
  return seconds;
}

void frame_with_many_marks(benchmark::State& state) {
  TemporaryFolder tmp;
  lay_out_board(tmp.path / "few", 300);
  lay_out_board(tmp.path / "many", 20'000);
  std::vector<double> few, many;
  for (auto _ : state)
    for (int round = 0; round < 3; ++round) {
      for (const double s : frame_seconds(tmp.path / "few", 60)) few.push_back(s);
      for (const double s : frame_seconds(tmp.path / "many", 60)) many.push_back(s);
    }
  if (few.empty() || many.empty()) return state.SkipWithError("no window");
  state.counters["few_ms"] = 1000 * median(few);
  state.counters["many_ms"] = 1000 * median(many);
  state.counters["many_worst_ms"] = 1000 * *std::max_element(many.begin(), many.end());
  state.counters["many_over_few"] = median(many) / median(few);
}
BENCHMARK(frame_with_many_marks)->Unit(benchmark::kMillisecond)->Iterations(1);

}  // namespace
