// The shop's memory at size, each against the plain way in the same run.
//
// BOARDLORE_SHOP_JOBS says how many jobs (2,000 without it; an old shop has 30,000 on 500 boards with a million
// readings). Goals: find at most 1/100 of `grep -r` over the same files, 95 of 100 within 50 ms; building the index at
// most twice reading and parsing (nlohmann::json) the same files; listing the library with 500 boards at most twice 5.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>

#include "bench/library.h"
#include "storage/shop_index.h"
#include "support/shop_maker.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
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
  double plain_s = 0, build_s = 0;
  for (auto _ : state) {
    auto start = std::chrono::steady_clock::now();
    for (const auto& item : fs::recursive_directory_iterator(s.dir)) {
      if (!item.is_regular_file()) continue;
      std::ifstream in(item.path(), std::ios::binary);
      const std::string text{std::istreambuf_iterator<char>(in), {}};
      benchmark::DoNotOptimize(nlohmann::json::parse(text));
    }
    plain_s += seconds_since(start);
    for (const char* part : {"", "-wal", "-shm", ".folders"}) fs::remove(s.index.string() + part);
    start = std::chrono::steady_clock::now();
    Result<ShopIndex> index = ShopIndex::open(s.index);
    if (!index) return state.SkipWithError("no index");
    const Result<IndexReport> report = index->update({s.dir});
    if (!report || report->read != s.made.files) return state.SkipWithError("not all read");
    build_s += seconds_since(start);
  }
  const auto runs = static_cast<double>(state.iterations());
  state.counters["of_read_and_parse"] = build_s / plain_s;
  state.counters["build_s"] = build_s / runs;
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
  std::vector<double> times;
  double find_s = 0;
  for (auto _ : state)
    for (const char* words : asked) {
      const auto start = std::chrono::steady_clock::now();
      const Result<std::vector<Hit>> hits = index->find(FindQuery{words, "", "", std::nullopt, 100});
      times.push_back(seconds_since(start));
      if (!hits) return state.SkipWithError("not found");
      find_s += times.back();
    }
  // The same question without an index: which files have the word. Warm: asked once before it counts.
  const std::string grep = "grep -rlwi varnish '" + s.dir.string() + "' > /dev/null";
  if (std::system(grep.c_str()) != 0) return state.SkipWithError("grep found nothing");
  const auto start = std::chrono::steady_clock::now();
  (void)std::system(grep.c_str());
  const double grep_s = seconds_since(start);
  std::sort(times.begin(), times.end());
  state.counters["of_grep"] = find_s / static_cast<double>(times.size()) / grep_s;
  state.counters["p50_ms"] = 1000 * times[times.size() / 2];
  state.counters["p95_ms"] = 1000 * times[times.size() * 95 / 100];
  state.counters["grep_ms"] = 1000 * grep_s;
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

void start_page(benchmark::State& state) {
  const TemporaryFolder tmp;
  setenv("XDG_STATE_HOME", (tmp.path / "state").c_str(), 1);
  make_shop(tmp.path / "few", ShopSize{0, 5, 0, 60});
  make_shop(tmp.path / "many", ShopSize{0, 500, 0, 60});
  double few_s = 0, many_s = 0;
  for (auto _ : state) {
    auto start = std::chrono::steady_clock::now();
    benchmark::DoNotOptimize(list_library(tmp.path / "few"));
    few_s += seconds_since(start);
    start = std::chrono::steady_clock::now();
    benchmark::DoNotOptimize(list_library(tmp.path / "many"));
    many_s += seconds_since(start);
  }
  state.counters["of_5_boards"] = many_s / few_s;
  state.counters["many_ms"] = 1000 * many_s / static_cast<double>(state.iterations());
}
BENCHMARK(start_page)->Unit(benchmark::kMillisecond);

}  // namespace
