#include "bench/run_bench.h"
#include "commands/program.h"

namespace boardlore {
namespace {

void open_window(CommandLine& line, const std::string& path) {
  BenchOptions options;
  options.open = path;
  line.outcome = static_cast<Outcome>(run_bench(options));
}

}  // namespace

void add_open_command(CommandLine& line) {
  CLI::App* open = line.app->add_subcommand("open", "Opens the window on a board folder or a job folder.");
  const auto path = std::make_shared<std::string>();
  open->add_option("DIR", *path, "board folder, job folder, or a photo for a new board")->required();
  open->callback([&line, path] { open_window(line, *path); });
  // Without a subcommand: the window as it opens by itself.
  line.app->callback([&line, open] {
    static_cast<void>(open);
    if (line.app->get_subcommands().empty()) open_window(line, "");
  });
}

}  // namespace boardlore
