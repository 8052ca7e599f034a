// A frame of the whole window with 20,000 marks of which 300 are in view, beside one with those 300 alone.
//
// Goal: at most 1.3 times as long. The photo is the demo board's, fitted into a 1600 x 1000 window drawn by
// software; the other marks lie on the same board beyond the photo's edge, as on a panel seen in part.
// Both in turn (60 frames each, three rounds), so that a busy machine slows both alike. Counter `many_over_few` is of medians.
//
// Then a photo of 48 MP with 2,000 marks, from the moment it is opened: zoomed, panned and turned while its tiles are still
// coming. Goal: no frame over 50 ms, the drawing done by the processor. Counters: median, 99 of 100, worst, and how many were over.
#include <GL/gl.h>
#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <filesystem>

#include "bench/app.h"
#include "bench/tasks.h"
#include "pictures/encode.h"
#include "pictures/photo_file.h"
#include "pictures/sha256.h"
#include "record/resample.h"
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

// The board's top photo as one of 48 MP, its registration with it.
void enlarge_top(const std::filesystem::path& dir) {
  const std::filesystem::path file = dir / "layer.json", picture = dir / "top.jpg";
  Result<Layer> layer = read_layer(*read_file(file), "layer.json");
  const Result<Raster> small = decode_full(picture);
  if (!layer || !small) std::abort();
  const double times = std::sqrt(48.2e6 / (static_cast<double>(small->width_px) * small->height_px));
  const Raster large = resampled(*small, static_cast<int>(small->width_px * times), static_cast<int>(small->height_px * times), 1,
                                 [&](double x, double y) { return std::optional(PhotoPoint{x / times, y / times}); });
  if (!write_jpeg(picture, large, 92)) std::abort();
  for (Photo& photo : layer->photos) {
    if (photo.file != "top.jpg") continue;
    photo.width_px = large.width_px, photo.height_px = large.height_px, photo.sha256 = *sha256_of_file(picture);
    auto& rows = photo.registration->board_from_photo.rows;
    for (const std::size_t i : {0U, 1U, 3U, 4U, 6U, 7U}) rows[i] /= times;
    for (Fiducial& fiducial : photo.registration->fiducials) fiducial.photo = {fiducial.photo.x_px * times, fiducial.photo.y_px * times};
  }
  if (!write_file_atomically(file, write_layer(*layer))) std::abort();
}

void push_wheel(float steps) {
  SDL_Event turned{};
  turned.type = SDL_MOUSEWHEEL;
  turned.wheel.preciseY = steps;
  turned.wheel.y = static_cast<int>(steps);
  SDL_PushEvent(&turned);
}

void push_motion(int x, int y) {
  SDL_Event moved{};
  moved.type = SDL_MOUSEMOTION;
  moved.motion.x = x, moved.motion.y = y;
  SDL_PushEvent(&moved);
}

void push_button(bool down, int x, int y) {
  SDL_Event pressed{};
  pressed.type = down ? SDL_MOUSEBUTTONDOWN : SDL_MOUSEBUTTONUP;
  pressed.button.button = SDL_BUTTON_MIDDLE, pressed.button.x = x, pressed.button.y = y;
  SDL_PushEvent(&pressed);
}

void frames_of_a_large_photo(benchmark::State& state) {
  TemporaryFolder tmp;
  lay_out_board(tmp.path / "large", 2000);
  enlarge_top(tmp.path / "large");
  std::vector<double> seconds;
  for (auto _ : state) {
    setenv("BOARDLORE_OFFSCREEN", "1", 1);
    setenv("SDL_VIDEODRIVER", "offscreen", 1);
    setenv("BOARDLORE_SCALE", "1", 1);
    setenv("BOARDLORE_INDEX", (tmp.path / "shop.sqlite").c_str(), 1);
    auto window = Window::open({});
    if (!window) return state.SkipWithError("no window");
    BenchApp app(*window, tmp.path);
    const auto timed = [&] {
      const auto start = std::chrono::steady_clock::now();
      app.frame();
      glFinish();
      seconds.push_back(std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    };
    app.open(tmp.path / "large");
    while (!app.desk_view()->open) app.frame(), glFinish();  // or the first measured would wait for those queued
    // The cursor is never still: without an event a frame waits for one, and that would be measured.
    for (int i = 0; i < 20; ++i) push_motion(700 + i % 2, 450), timed();
    // In to the photo's own pixels, along it with the middle button held, out again; four times over.
    for (int round = 0; round < 4; ++round) {
      for (int i = 0; i < 12; ++i) push_wheel(1), timed();
      push_button(true, 700, 450), timed();
      for (int i = 0; i < 60; ++i) push_motion(700 + 8 * i * (round % 2 ? -1 : 1) / 2, 450 + 3 * i), timed();
      push_button(false, 940, 627), timed();
      for (int i = 0; i < 12; ++i) push_wheel(-1), timed();
      for (int i = 0; i < 10; ++i) push_motion(700 + i % 2, 450), timed();
    }
    state.counters["photo_there"] = app.at_rest();
  }
  while (tasks_at_work > 0) {}
  std::sort(seconds.begin(), seconds.end());
  state.counters["frames"] = static_cast<double>(seconds.size());
  state.counters["median_ms"] = 1000 * median(seconds);
  state.counters["p99_ms"] = 1000 * seconds[seconds.size() * 99 / 100];
  state.counters["worst_ms"] = 1000 * seconds.back();
  state.counters["over_50_ms"] = static_cast<double>(std::count_if(seconds.begin(), seconds.end(), [](double s) { return s > 0.05; }));
}
BENCHMARK(frames_of_a_large_photo)->Unit(benchmark::kMillisecond)->Iterations(1);

}  // namespace
