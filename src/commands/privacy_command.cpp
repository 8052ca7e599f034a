// boardlore privacy PATH: what is still private in a layer, a photo or a folder; exit 1 if anything is.
#include "commands/command_support.h"
#include "commands/terminal_text.h"
#include "exchange/privacy.h"

namespace boardlore {
namespace {

struct Privacy {
  std::string path;
  bool allow_names = false;
};

void run_privacy(CommandLine& line, const Privacy& given) {
  const Result<std::vector<PrivateFinding>> found = private_in(given.path, given.allow_names);
  if (failed(line, found)) return;
  JsonOut list = JsonOut::array();
  for (const PrivateFinding& one : *found) {
    list.push_back({{"file", one.file}, {"where", one.where}, {"what", one.what}});
    if (!line.json) print(safe_for_terminal(one.file + (one.where.empty() ? "" : " at " + one.where) + ": " + one.what) + "\n");
  }
  if (line.json) print_json({{"private", list}});
  else if (found->empty()) print("nothing private found; what a picture shows is for you to look at\n");
  if (!found->empty()) line.outcome = Outcome::finding;
}

}  // namespace

void add_privacy_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("privacy", "List what is still private in a layer, photo or folder; exit 1 if anything is");
  const auto given = std::make_shared<Privacy>();
  app->add_option("PATH", given->path, "file or folder")->required();
  app->add_flag("--allow-names", given->allow_names, "technicians may be named");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_privacy(line, *given); });
}

}  // namespace boardlore
