#include "bench/run_bench.h"

#include <chrono>
#include <cstdio>
#include <thread>

#include "bench/app.h"
#include "bench/tasks.h"

namespace boardlore {

int run_bench(const BenchOptions& options) {
  auto window = Window::open(options.window);
  if (!window) {
    std::fprintf(stderr, "boardlore: %s\n", to_text(window.problem()).c_str());
    return static_cast<int>(window.problem().outcome);
  }
  {
    BenchApp app(*window, library_dir());
    if (options.open.empty())
      app.first_view();
    else
      app.open(options.open);
    while (app.frame()) {
    }
  }
  // Decoders were told to stop; what they use must outlive them.
  while (tasks_at_work > 0) std::this_thread::sleep_for(std::chrono::milliseconds(2));
  return 0;
}

}  // namespace boardlore
