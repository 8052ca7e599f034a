// A job's record: 40 photos of 12 megapixels, ten of them registered with work on marks.
//
// Goal: at most 2.5 times what libjpeg-turbo alone needs to decode and encode the same bytes once, in the same
// run. Counters `record_over_libjpeg`; `megabytes`, for 20 photos too (goal: below 8); `peak_photos`, by how much the
// process grew at most while the record was made, in decoded photos (4 bytes a pixel: a few are the goal).
#include <benchmark/benchmark.h>
#include <turbojpeg.h>

#include <ctime>
#include <filesystem>
#include <fstream>
#include <unistd.h>
#include <vector>

#include "exchange/take_in_photo.h"
#include "record/record_source.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

constexpr int width_px = 4000, height_px = 3000;

// Shading, pads, traces and a sensor's noise, 4:2:0 at quality 92 as cameras write; each photo another.
std::string photo(std::uint32_t seed) {
  std::vector<unsigned char> rgb(std::size_t{3} * width_px * height_px);
  std::uint32_t state = seed * 747796405U + 1;
  unsigned char* out = rgb.data();
  for (int y = 0; y < height_px; ++y)
    for (int x = 0; x < width_px; ++x, out += 3) {
      state = state * 1664525U + 1013904223U;
      const int noise = static_cast<int>(state >> 28) - 8;
      const bool pad = x % 97 < 40 && y % 61 < 22, trace = (x + y) % 143 < 9;
      const int shade = 30 * x / width_px + 20 * y / height_px;
      out[0] = static_cast<unsigned char>((pad ? 170 : trace ? 70 : 30) + shade + noise);
      out[1] = static_cast<unsigned char>((pad ? 165 : trace ? 120 : 80) + shade + noise);
      out[2] = static_cast<unsigned char>((pad ? 150 : trace ? 80 : 50) + shade + noise);
    }
  const tjhandle turbo = tjInitCompress();
  unsigned char* buffer = nullptr;
  unsigned long size = 0;
  tjCompress2(turbo, rgb.data(), width_px, 0, height_px, TJPF_RGB, &buffer, &size, TJSAMP_420, 92, 0);
  std::string bytes(reinterpret_cast<const char*>(buffer), size);
  tjFree(buffer);
  tjDestroy(turbo);
  return bytes;
}

void decode_and_encode(const std::string& bytes) {
  const tjhandle in = tjInitDecompress(), out = tjInitCompress();
  std::vector<unsigned char> rgb(std::size_t{3} * width_px * height_px);
  tjDecompress2(in, reinterpret_cast<const unsigned char*>(bytes.data()), static_cast<unsigned long>(bytes.size()), rgb.data(), width_px, 0,
                height_px, TJPF_RGB, 0);
  unsigned char* buffer = nullptr;
  unsigned long size = 0;
  tjCompress2(out, rgb.data(), width_px, 0, height_px, TJPF_RGB, &buffer, &size, TJSAMP_420, 92, 0);
  benchmark::DoNotOptimize(size);
  tjFree(buffer);
  tjDestroy(in);
  tjDestroy(out);
}

// Processor time of the process: a busy machine must not decide.
double seconds(auto work) {
  const auto now = [] {
    timespec time{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
    return static_cast<double>(time.tv_sec) + 1e-9 * static_cast<double>(time.tv_nsec);
  };
  const double start = now();
  work();
  return now() - start;
}

// "VmHWM:  123 kB" of the process: the most it ever held; and what it holds now.
double resident_megabytes(const char* which) {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);)
    if (line.rfind(which, 0) == 0) return std::stod(line.substr(line.find_first_of("0123456789"))) / 1024;
  return 0;
}
// The high-water mark starts anew (Linux: proc(5), clear_refs 5).
void forget_peak() { std::ofstream("/proc/self/clear_refs") << "5"; }

bool add_work(Folder& folder, int i, const Photo& taken) {
  Registration registration;  // 150 mm across the photo
  registration.px_per_mm = width_px / 150.0;
  registration.board_from_photo.rows = {150.0 / width_px, 0, 0, 0, -150.0 / width_px, 112.5, 0, 0, 1};
  if (!folder.commit(RegisterPhoto{taken.id, registration})) return false;
  if (i % 2 != 0) return true;
  Mark mark;
  mark.id = folder.session().new_id();
  mark.kind = MarkKind::part;
  mark.refdes = "U" + std::to_string(i + 1);
  mark.at = {20.0 + 12 * i, 50};
  mark.outline = {{-3, -2}, {3, -2}, {3, 2}, {-3, 2}};
  Action action;
  action.id = folder.session().new_id();
  action.mark = mark.id;
  action.refdes = mark.refdes;
  action.what = "replaced";
  action.at = folder.session().now();
  return folder.commit(PlaceMark{mark}) && folder.commit(PutAction{action});
}

void record_of_a_job(benchmark::State& state) {
  const int photos = static_cast<int>(state.range(0));
  const fs::path dir = fs::temp_directory_path() / ("boardlore-record-benchmark-" + std::to_string(getpid()));
  fs::create_directories(dir);
  const Session session = make_session("benchmark");
  Board board;
  board.model = "bench";
  board.width_mm = 150, board.height_mm = 112.5;
  bool made = Folder::create_board(dir / "board", board, session) && true;
  auto folder = Folder::create_job(dir / "job", dir / "board", Job{}, session);
  if (!made || !folder) return state.SkipWithError("no job");
  std::vector<std::string> bytes;
  for (int i = 0; i < photos && made; ++i) {
    bytes.push_back(photo(static_cast<std::uint32_t>(i + 1)));
    const fs::path file = dir / (std::to_string(i) + ".jpg");
    std::ofstream(file, std::ios::binary) << bytes.back();
    const auto taken = take_in_photo(*folder, file, Side::top, i < 5 ? PhotoStage::before : PhotoStage::after);
    made = taken && (i >= 10 || add_work(*folder, i, *taken));
  }
  double record = 0, alone = 0, megabytes = 0, grown = 0;
  for (auto _ : state) {
    alone += seconds([&] {
      for (const std::string& one : bytes) decode_and_encode(one);
    });
    forget_peak();
    const double held = resident_megabytes("VmRSS:");
    record += seconds([&] {
      const Result<std::string> pdf = make_record(*folder, RecordRequest{});
      made = made && pdf;
      if (pdf) megabytes = static_cast<double>(pdf->size()) / 1e6;
    });
    grown = resident_megabytes("VmHWM:") - held;
  }
  std::error_code ignored;
  fs::remove_all(dir, ignored);
  if (!made) return state.SkipWithError("not made");
  state.counters["record_over_libjpeg"] = record / alone;
  state.counters["megabytes"] = megabytes;
  state.counters["peak_photos"] = grown * 1048576 / (4.0 * width_px * height_px);
}
BENCHMARK(record_of_a_job)->Arg(20)->Arg(40)->ArgName("photos")->Iterations(1)->Unit(benchmark::kMillisecond);

}  // namespace
