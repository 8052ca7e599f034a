// Opens the window and runs until it is closed.
#pragma once

#include <filesystem>

#include <vector>

#include "bench/do_anything.h"
#include "bench/window.h"

namespace boardlore {

struct BenchOptions {
  std::filesystem::path open;  // empty: what was open last, the demo board on a first start
  WindowOptions window;
  std::vector<Verb> verbs;     // of the command line
};

// What the process exits with.
int run_bench(const BenchOptions& options);

}  // namespace boardlore
