// Merging 20,000 marks with 1,000 edits a side, files in and file out.
//
// Goal: at most 4 times the bare parse (nlohmann::json) of the three files in the same run.
#include <benchmark/benchmark.h>

#include <chrono>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "storage/documents.h"
#include "storage/merge.h"

using namespace boardlore;

namespace {

Layer large_layer() {
  Layer layer;
  layer.id = Id{"00000000-0000-7000-8000-000000000000"};
  layer.board.model = "Model";
  std::vector<MarkPtr> marks;
  for (int i = 0; i < 20'000; ++i) {
    Mark mark;
    char id[40];
    std::snprintf(id, sizeof id, "00000000-0000-7000-8000-%012x", i + 1);
    mark.id = Id{id};
    mark.kind = MarkKind::part;
    mark.refdes = "C" + std::to_string(i);
    mark.at = {0.37 * (i % 200), 0.41 * (i / 200)};
    mark.value = "100n";
    mark.accept = {"A" + std::to_string(i % 7)};
    marks.push_back(std::make_shared<const Mark>(mark));
  }
  layer.marks = MarkTable(std::move(marks));
  return layer;
}

// Every 20th mark, from `first` on: some are edited by both sides, in different members.
Layer edited(Layer layer, std::size_t first, bool moves) {
  const std::vector<MarkPtr> marks = layer.marks.all();
  for (std::size_t i = first; i < marks.size(); i += 20) {
    Mark mark = *marks[i];
    if (moves) mark.at.x_mm += 0.5;
    else mark.value = "220n";
    layer.marks = layer.marks.with(std::make_shared<const Mark>(mark));
  }
  return layer;
}

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

void merge_large(benchmark::State& state) {
  const Layer base = large_layer();
  const VersionFile files[] = {{write_layer(base), "base"}, {write_layer(edited(base, 0, true)), "ours"}, {write_layer(edited(base, 0, false)), "theirs"}};
  double parse_s = 0, merge_s = 0;
  for (auto _ : state) {
    auto start = std::chrono::steady_clock::now();
    for (const VersionFile& file : files) benchmark::DoNotOptimize(nlohmann::json::parse(file.text));
    parse_s += seconds_since(start);
    start = std::chrono::steady_clock::now();
    const Result<MergedText> merged = merge_texts(files[0], files[1], files[2]);
    merge_s += seconds_since(start);
    if (!merged || !merged->disputes.empty()) state.SkipWithError("the merge was not clean");
  }
  state.counters["merge_over_parse"] = merge_s / parse_s;
}
BENCHMARK(merge_large)->Unit(benchmark::kMillisecond);

void load_layer(benchmark::State& state) {  // goal: loading at most 2.5 times the bare parse
  const std::string text = write_layer(large_layer());
  double parse_s = 0, load_s = 0;
  for (auto _ : state) {
    auto start = std::chrono::steady_clock::now();
    benchmark::DoNotOptimize(nlohmann::json::parse(text));
    parse_s += seconds_since(start);
    start = std::chrono::steady_clock::now();
    const Result<Layer> layer = read_layer(text, "layer.json");
    load_s += seconds_since(start);
    if (!layer) state.SkipWithError("not read");
  }
  state.counters["load_over_parse"] = load_s / parse_s;
}
BENCHMARK(load_layer)->Unit(benchmark::kMillisecond);

}  // namespace
