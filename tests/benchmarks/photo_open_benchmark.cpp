// Opening a 12 and a 48 megapixel photo: what the technician waits for after dropping one in.
//
// Goals: the whole photo in at most 1.2 times what libjpeg-turbo alone needs for the same bytes in the same run;
// a preview in at most 0.3 of the whole. Counters `full_over_libjpeg` and `preview_over_full`.
#include <benchmark/benchmark.h>
#include <turbojpeg.h>

#include <algorithm>
#include <ctime>
#include <map>
#include <memory>
#include <vector>

#include "pictures/encode.h"
#include "pictures/photo_file.h"
#include "pictures/pyramid.h"

using namespace boardlore;

namespace {

// Smooth shading, printed edges, and noise as of a phone's sensor: about 2 bit a pixel at quality 92, as
// phones write. The same on every run.
Raster board_like(int width_px, int height_px) {
  Raster raster{width_px, height_px, {}};
  raster.rgba.resize(4 * static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px));
  std::uint32_t state = 12345;
  std::uint8_t* out = raster.rgba.data();
  for (int y = 0; y < height_px; ++y)
    for (int x = 0; x < width_px; ++x, out += 4) {
      state = state * 1664525u + 1013904223u;
      const int noise = static_cast<int>(state >> 28) - 8;
      const bool pad = x % 97 < 40 && y % 61 < 22, trace = (x + y) % 143 < 9;
      const int shade = 30 * x / width_px + 20 * y / height_px;
      out[0] = static_cast<std::uint8_t>((pad ? 170 : trace ? 70 : 30) + shade + noise);
      out[1] = static_cast<std::uint8_t>((pad ? 165 : trace ? 120 : 80) + shade + noise);
      out[2] = static_cast<std::uint8_t>((pad ? 150 : trace ? 80 : 50) + shade + noise);
      out[3] = 255;
    }
  return raster;
}

// 4:2:0 at quality 92, baseline: what cameras write.
const std::string& photo(int megapixels) {
  static std::map<int, std::string> photos;
  std::string& bytes = photos[megapixels];
  if (!bytes.empty()) return bytes;
  const Raster raster = megapixels == 12 ? board_like(4000, 3000) : board_like(8000, 6000);
  const tjhandle turbo = tjInitCompress();
  unsigned char* buffer = nullptr;
  unsigned long size = 0;
  tjCompress2(turbo, raster.rgba.data(), raster.width_px, 0, raster.height_px, TJPF_RGBA, &buffer, &size, TJSAMP_420, 92, 0);
  bytes.assign(reinterpret_cast<const char*>(buffer), size);
  tjFree(buffer);
  tjDestroy(turbo);
  return bytes;
}

// Processor time of this thread: nothing here runs on another, and a busy machine must not decide.
double seconds(auto work) {
  const auto now = [] {
    timespec time{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &time);
    return static_cast<double>(time.tv_sec) + 1e-9 * static_cast<double>(time.tv_nsec);
  };
  const double start = now();
  work();
  return now() - start;
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

// libjpeg-turbo's own whole-picture call, into memory that is fresh each time, as any program needs it.
void decode_by_libjpeg_turbo(const std::string& bytes) {
  const tjhandle turbo = tjInitDecompress();
  int width = 0, height = 0, sampling = 0, colours = 0;
  const auto* data = reinterpret_cast<const unsigned char*>(bytes.data());
  tjDecompressHeader3(turbo, data, bytes.size(), &width, &height, &sampling, &colours);
  const std::unique_ptr<unsigned char[]> rgba(new unsigned char[4 * static_cast<std::size_t>(width) * static_cast<std::size_t>(height)]);
  tjDecompress2(turbo, data, bytes.size(), rgba.get(), width, 0, height, TJPF_RGBA, 0);
  benchmark::DoNotOptimize(rgba.get());
  tjDestroy(turbo);
}

// All three in turns, so that a busy machine slows them alike.
void photo_open(benchmark::State& state) {
  const std::string& bytes = photo(static_cast<int>(state.range(0)));
  const auto span = std::as_bytes(std::span(bytes.data(), bytes.size()));
  std::vector<double> libjpeg, full, preview;
  for (auto _ : state) {
    libjpeg.push_back(seconds([&] { decode_by_libjpeg_turbo(bytes); }));
    full.push_back(seconds([&] { benchmark::DoNotOptimize(decode_memory(span, "photo")); }));
    preview.push_back(seconds([&] { benchmark::DoNotOptimize(decode_preview_memory(span, "photo", 300)); }));
  }
  state.counters["libjpeg_ms"] = 1e3 * median(libjpeg);
  state.counters["full_ms"] = 1e3 * median(full);
  state.counters["preview_ms"] = 1e3 * median(preview);
  state.counters["full_over_libjpeg"] = median(full) / median(libjpeg);
  state.counters["preview_over_full"] = median(preview) / median(full);
  state.counters["bits_per_pixel"] = 8.0 * static_cast<double>(bytes.size()) / (1e6 * static_cast<double>(state.range(0)));
}
BENCHMARK(photo_open)->Arg(12)->Arg(48)->Iterations(7)->Unit(benchmark::kMillisecond);

void photo_pyramid(benchmark::State& state) {
  const Raster raster = board_like(8000, 6000);
  for (auto _ : state) {
    state.PauseTiming();
    Raster copy = raster;
    state.ResumeTiming();
    benchmark::DoNotOptimize(TilePyramid::build(std::move(copy)));
  }
}
BENCHMARK(photo_pyramid)->Iterations(5)->Unit(benchmark::kMillisecond);

}  // namespace
