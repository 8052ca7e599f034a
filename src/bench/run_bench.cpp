#include "bench/run_bench.h"

#include <chrono>
#include <cstdio>
#include <thread>

#include "bench/app.h"
#include "bench/tasks.h"
#include "storage/user_folders.h"

namespace boardlore {

int run_bench(const BenchOptions& options) {
  WindowOptions wanted = options.window;
  if (const WindowMemory memory = read_window_memory(state_file("window")); memory.width > 0)
    wanted.width = memory.width, wanted.height = memory.height, wanted.x = memory.x, wanted.y = memory.y, wanted.placed = true, wanted.maximised = memory.maximised;
  else
    wanted.suited = true;
  auto window = Window::open(wanted);
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
    std::error_code error;
    app.use_verbs(options.verbs, std::filesystem::read_symlink("/proc/self/exe", error));
    while (app.frame()) {
    }
    app.remember_window();
  }
  // Decoders were told to stop; what they use must outlive them.
  while (tasks_at_work > 0) std::this_thread::sleep_for(std::chrono::milliseconds(2));
  return 0;
}

}  // namespace boardlore
