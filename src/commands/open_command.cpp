#include "bench/run_bench.h"
#include "commands/program.h"

namespace boardlore {
namespace {

// What the window lists of a command: its name, what it is given, its help.
Verb verb_of(CLI::App& app, const std::string& name) {
  Verb verb{name, name, app.get_description()};
  for (const CLI::Option* option : app.get_options())
    if (option->get_positional()) verb.usage += " " + option->get_name(true);
  return verb;
}

void open_window(CommandLine& line, const std::string& path) {
  BenchOptions options;
  options.open = path;
  for (CLI::App* sub : line.app->get_subcommands([](CLI::App* one) { return !one->get_group().empty(); })) {
    const auto inner = sub->get_subcommands([](CLI::App*) { return true; });
    if (inner.empty() && sub->get_name() != "open") options.verbs.push_back(verb_of(*sub, sub->get_name()));
    for (CLI::App* one : inner) options.verbs.push_back(verb_of(*one, sub->get_name() + " " + one->get_name()));
  }
  line.outcome = static_cast<Outcome>(run_bench(options));
}

}  // namespace

void add_open_command(CommandLine& line) {
  CLI::App* open = line.app->add_subcommand("open", "Opens the window on a board folder or a job folder.");
  const auto path = std::make_shared<std::string>();
  open->add_option("DIR", *path, "board folder, job folder, its layer.json or job.json, or a photo for a new board");
  open->callback([&line, path] { open_window(line, *path); });
  // Without a subcommand: the window as it opens by itself.
  line.app->callback([&line, open] {
    static_cast<void>(open);
    if (line.app->get_subcommands().empty()) open_window(line, "");
  });
}

}  // namespace boardlore
