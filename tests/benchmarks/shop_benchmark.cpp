// The shop's memory at size, each against the plain way in the same run.
//
// BOARDLORE_SHOP_JOBS says how many jobs (2,000 without it; an old shop has 30,000 on 500 boards with a million
// readings). Goals: find at most 1/100 of `grep -r` over the same files, 95 of 100 within 50 ms; building the index at
// most twice reading and parsing (nlohmann::json) the same files; listing the library with 500 boards at most twice 5.
#include <GL/gl.h>
#include <benchmark/benchmark.h>
#include <sys/resource.h>
#include <time.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>

#include "bench/app.h"
#include "bench/tasks.h"
#include "storage/shop_index.h"
#include "support/shop_maker.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

double cpu_of(int who) {
  rusage used{};
  getrusage(who, &used);
  return static_cast<double>(used.ru_utime.tv_sec + used.ru_stime.tv_sec) + 1e-6 * static_cast<double>(used.ru_utime.tv_usec + used.ru_stime.tv_usec);
}
// Of this process with all its threads. Ratios are of processor time: a busy machine does not change them.
double cpu_seconds() { return cpu_of(RUSAGE_SELF); }

double thread_seconds() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

struct Shop {
  TemporaryFolder tmp;
  fs::path dir = tmp.path / "shop", index = tmp.path / "shop.sqlite";
  ShopSize size;
  ShopMade made;
  Shop() {
    const char* jobs = std::getenv("BOARDLORE_SHOP_JOBS");
    size.jobs = jobs == nullptr ? 2000 : std::max(10, std::atoi(jobs));
    size.boards = std::max(5, size.jobs / 60);
    made = make_shop(dir, size);
  }
};
Shop& shop() {
  static Shop made;
  return made;
}

void index_build(benchmark::State& state) {
  Shop& s = shop();
  double plain_s = 0, build_s = 0, wall_s = 0;
  for (auto _ : state) {
    double start = cpu_seconds();
    for (const auto& item : fs::recursive_directory_iterator(s.dir)) {
      if (!item.is_regular_file()) continue;
      std::ifstream in(item.path(), std::ios::binary);
      const std::string text{std::istreambuf_iterator<char>(in), {}};
      benchmark::DoNotOptimize(nlohmann::json::parse(text));
    }
    plain_s += cpu_seconds() - start;
    for (const char* part : {"", "-wal", "-shm", ".folders"}) fs::remove(s.index.string() + part);
    start = cpu_seconds();
    const auto began = std::chrono::steady_clock::now();
    Result<ShopIndex> index = ShopIndex::open(s.index);
    if (!index) return state.SkipWithError("no index");
    const Result<IndexReport> report = index->update({s.dir});
    if (!report || report->read != s.made.files) return state.SkipWithError("not all read");
    build_s += cpu_seconds() - start;
    wall_s += seconds_since(began);
  }
  const auto runs = static_cast<double>(state.iterations());
  state.counters["of_read_and_parse"] = build_s / plain_s;
  state.counters["build_cpu_s"] = build_s / runs;
  state.counters["build_wall_s"] = wall_s / runs;
  state.counters["documents"] = static_cast<double>(s.made.files);
  state.counters["mbyte"] = static_cast<double>(s.made.bytes) / 1e6;
}
BENCHMARK(index_build)->Unit(benchmark::kMillisecond)->Iterations(1);

void index_unchanged(benchmark::State& state) {
  Shop& s = shop();
  Result<ShopIndex> index = ShopIndex::open(s.index);
  if (!index || !index->update({s.dir})) return state.SkipWithError("no index");
  for (auto _ : state)
    if (!index->refresh()) return state.SkipWithError("no refresh");
}
BENCHMARK(index_unchanged)->Unit(benchmark::kMillisecond)->Iterations(3);

void find_against_grep(benchmark::State& state) {
  Shop& s = shop();
  Result<ShopIndex> index = ShopIndex::open(s.index);
  if (!index || !index->update({s.dir})) return state.SkipWithError("no index");
  // As typed: few letters first, then words, designators, a board; every one of them is asked.
  const char* const asked[] = {"di", "disp", "display fl", "u1", "c2 repl", "varnish", "kiln 1", "stor", "mended wire", "cracked cer", "no ch", "r3"};
  std::vector<double> times, cpu;
  double find_s = 0;
  for (auto _ : state)
    for (const char* words : asked) {
      const auto began = std::chrono::steady_clock::now();
      const double start = thread_seconds();
      const Result<std::vector<Hit>> hits = index->find(FindQuery{words, "", "", std::nullopt, 100});
      cpu.push_back(thread_seconds() - start);
      times.push_back(seconds_since(began));
      if (!hits) return state.SkipWithError("not found");
      find_s += cpu.back();
    }
  // The same question without an index: which files have the word. Warm: asked once before it counts.
  const std::string grep = "grep -rlwi varnish '" + s.dir.string() + "' > /dev/null";
  if (std::system(grep.c_str()) != 0) return state.SkipWithError("grep found nothing");
  const double start = cpu_of(RUSAGE_CHILDREN);
  if (std::system(grep.c_str()) != 0) return state.SkipWithError("grep found nothing");
  const double grep_s = cpu_of(RUSAGE_CHILDREN) - start;
  std::sort(times.begin(), times.end());
  std::sort(cpu.begin(), cpu.end());
  state.counters["p50_cpu_ms"] = 1000 * cpu[cpu.size() / 2];
  state.counters["p95_cpu_ms"] = 1000 * cpu[cpu.size() * 95 / 100];
  state.counters["of_grep"] = find_s / static_cast<double>(times.size()) / grep_s;
    state.counters["p95_wall_ms"] = 1000 * times[times.size() * 95 / 100];
  state.counters["grep_cpu_ms"] = 1000 * grep_s;
}
BENCHMARK(find_against_grep)->Unit(benchmark::kMillisecond)->Iterations(20);

void usual_faults_of_a_board(benchmark::State& state) {
  Shop& s = shop();
  Result<ShopIndex> index = ShopIndex::open(s.index);
  if (!index || !index->update({s.dir})) return state.SkipWithError("no index");
  for (auto _ : state) {
    const Result<std::vector<PastJob>> jobs = index->past_jobs(Id{"00000001-0000-7000-8000-000000000003"});
    if (!jobs || jobs->empty()) return state.SkipWithError("no jobs");
    benchmark::DoNotOptimize(usual_faults(*jobs, "dead"));
  }
}
BENCHMARK(usual_faults_of_a_board)->Unit(benchmark::kMillisecond);

// The first frames of a window over the library; the index knows it already.
double start_page_seconds(const fs::path& library) {
  setenv("BOARDLORE_INDEX", (library.string() + ".sqlite").c_str(), 1);
  if (Result<ShopIndex> index = ShopIndex::open(library.string() + ".sqlite"); !index || !index->update({library})) return 0;
  auto window = Window::open({});
  if (!window) return 0;
  const double start = cpu_seconds();
  double took = 0;
  {
    BenchApp app(*window, library);
    for (int i = 0; i < 3; ++i) app.frame(), glFinish();
    took = cpu_seconds() - start;
  }
  while (tasks_at_work > 0) {}
  return took;
}

void start_page(benchmark::State& state) {
  const TemporaryFolder tmp;
  setenv("XDG_STATE_HOME", (tmp.path / "state").c_str(), 1);
  setenv("BOARDLORE_OFFSCREEN", "1", 1);
  setenv("SDL_VIDEODRIVER", "offscreen", 1);
  setenv("BOARDLORE_SCALE", "1", 1);
  make_shop(tmp.path / "few", ShopSize{0, 5, 0, 60});
  make_shop(tmp.path / "many", ShopSize{0, 500, 0, 60});
  std::vector<double> few, many;
  for (auto _ : state) {
    few.push_back(start_page_seconds(tmp.path / "few"));
    many.push_back(start_page_seconds(tmp.path / "many"));
  }
  std::sort(few.begin(), few.end()), std::sort(many.begin(), many.end());
  state.counters["of_5_boards"] = many[many.size() / 2] / few[few.size() / 2];
  state.counters["many_ms"] = 1000 * many[many.size() / 2];
}
BENCHMARK(start_page)->Unit(benchmark::kMillisecond)->Iterations(7);

}  // namespace
