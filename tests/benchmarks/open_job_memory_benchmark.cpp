// Memory of a window with one job open, in a large shop against the same in a small one.
//
// BOARDLORE_SHOP_JOBS says how many jobs the large one has (2,000 without it); the small one has 20. What is in a shop is
// looked up in its index and never held, so the goal is a ratio of 1. Each window is a process of its own (this program
// started again), and what it says are the kernel's own counts (proc(5)): the most that was resident at once (VmHWM), in which
// the first look at every document's date is, and what the window holds of its own once it is at rest (RssAnon). SQLite's page
// cache in it has a fixed size.
#include <GL/gl.h>
#include <benchmark/benchmark.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <fstream>
#include <string>
#include <thread>

#include "bench/app.h"
#include "bench/tasks.h"
#include "storage/shop_index.h"
#include "support/shop_maker.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

double kb_of(const std::string& what) {
  std::ifstream in("/proc/self/status");
  for (std::string line; std::getline(in, line);)
    if (line.rfind(what + ":", 0) == 0) return std::atof(line.c_str() + what.size() + 1);
  return 0;
}

// In the process started for it: the job open, the shop's usual faults asked for and words looked up, then what it took.
void one_open_job(benchmark::State& state) {
  const fs::path shop = std::getenv("BOARDLORE_MEMORY_OF");
  auto window = Window::open({});
  if (!window) return state.SkipWithError("no window");
  for (auto _ : state) {
    BenchApp app(*window, shop);
    app.open(std::getenv("BOARDLORE_MEMORY_JOB"));
    for (int quiet = 0; quiet < 20; quiet = app.at_rest() ? quiet + 1 : 0) app.frame(), glFinish();
    Result<ShopIndex> index = ShopIndex::open(ShopIndex::usual_place());
    if (!index) return state.SkipWithError("no index");
    for (const char* words : {"di", "varnish", "u1", "mended wire"}) benchmark::DoNotOptimize(index->find(FindQuery{words, "", "", std::nullopt, 100}));
    std::ofstream(std::getenv("BOARDLORE_MEMORY_TO")) << kb_of("VmHWM") << ' ' << kb_of("RssAnon");
  }
  while (tasks_at_work > 0) std::this_thread::sleep_for(std::chrono::milliseconds(1));
}

struct Megabytes {
  double most = 0, at_rest = 0;
};

Megabytes of_a_window(const fs::path& shop, const fs::path& scratch) {
  std::string job;
  for (const auto& item : fs::recursive_directory_iterator(shop / "jobs"))
    if (item.path().filename() == "job-0") job = item.path().string();
  setenv("BOARDLORE_MEMORY_OF", shop.c_str(), 1);
  setenv("BOARDLORE_MEMORY_JOB", job.c_str(), 1);
  setenv("BOARDLORE_MEMORY_TO", (scratch / "answer").c_str(), 1);
  setenv("BOARDLORE_INDEX", (shop.string() + ".sqlite").c_str(), 1);
  std::string only = "--benchmark_filter=^one_open_job/";
  char* arguments[] = {only.data(), only.data(), nullptr};
  pid_t child = 0;
  fs::remove(scratch / "answer");
  if (posix_spawn(&child, "/proc/self/exe", nullptr, nullptr, arguments, environ) != 0) return {};
  int status = 0;
  waitpid(child, &status, 0);
  unsetenv("BOARDLORE_MEMORY_OF");
  Megabytes kb;
  std::ifstream(scratch / "answer") >> kb.most >> kb.at_rest;
  return {kb.most / 1024, kb.at_rest / 1024};
}

void memory_of_an_open_job(benchmark::State& state) {
  const TemporaryFolder tmp;
  setenv("XDG_STATE_HOME", (tmp.path / "state").c_str(), 1);
  setenv("BOARDLORE_OFFSCREEN", "1", 1);
  setenv("SDL_VIDEODRIVER", "offscreen", 1);
  setenv("BOARDLORE_SCALE", "1", 1);
  const char* asked = std::getenv("BOARDLORE_SHOP_JOBS");
  const int jobs = asked == nullptr ? 2000 : std::max(20, std::atoi(asked));
  make_shop(tmp.path / "small", ShopSize{20, 5, 34, 60});
  make_shop(tmp.path / "large", ShopSize{jobs, std::max(5, jobs / 60), 34, 60});
  for (const char* name : {"small", "large"}) {
    Result<ShopIndex> index = ShopIndex::open((tmp.path / name).string() + ".sqlite");
    if (!index || !index->update({tmp.path / name})) return state.SkipWithError("no index");
  }
  std::vector<double> small, large, small_rest, large_rest;
  for (auto _ : state) {
    const Megabytes few = of_a_window(tmp.path / "small", tmp.path), many = of_a_window(tmp.path / "large", tmp.path);
    if (few.most == 0 || many.most == 0) return state.SkipWithError("the window's process said nothing");
    small.push_back(few.most), small_rest.push_back(few.at_rest);
    large.push_back(many.most), large_rest.push_back(many.at_rest);
  }
  const auto median = [](std::vector<double> values) {
    std::sort(values.begin(), values.end());
    return values[values.size() / 2];
  };
  state.counters["most_mbyte"] = median(large);
  state.counters["most_over_small"] = median(large) / median(small);
  state.counters["rest_mbyte"] = median(large_rest);
  state.counters["rest_over_small"] = median(large_rest) / median(small_rest);
}

// One of the two is there: the measurement, or in a process started by it what is measured.
const auto* const registered = std::getenv("BOARDLORE_MEMORY_OF") != nullptr
                                   ? benchmark::RegisterBenchmark("one_open_job", one_open_job)->Iterations(1)
                                   : benchmark::RegisterBenchmark("memory_of_an_open_job", memory_of_an_open_job)->Unit(benchmark::kMillisecond)->Iterations(3);

}  // namespace
