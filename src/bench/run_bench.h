// Opens the window and runs until it is closed.
#pragma once

#include <filesystem>

#include "bench/window.h"

namespace boardlore {

struct BenchOptions {
  std::filesystem::path open;  // empty: what was open last, the demo board on a first start
  WindowOptions window;
};

// What the process exits with.
int run_bench(const BenchOptions& options);

}  // namespace boardlore
