// boardlore history DIR, boardlore restore DIR VERSION: earlier versions of a document, and one of them back.
#include "commands/command_support.h"
#include "commands/terminal_text.h"
#include "storage/history.h"
#include "storage/version_words.h"

namespace boardlore {
namespace {

struct Restore {
  std::string dir;
  int version = 0;
};

void run_history(CommandLine& line, const std::string& dir) {
  Result<Folder> folder = open_folder(line, dir);
  if (failed(line, folder)) return;
  const std::vector<KeptVersion> versions = versions_of(folder->dir() / (folder->is_job() ? "job.json" : "layer.json"));
  JsonOut list = JsonOut::array();
  for (const KeptVersion& version : versions) {
    list.push_back({{"version", version.number}, {"saved_at", to_rfc3339(version.saved_at)}, {"bytes", version.bytes}, {"holds", spoken_content(version)}});
    if (!line.json)
      print(std::to_string(version.number) + "  " + to_rfc3339(version.saved_at) + "  " + spoken_content(version) + "\n");
  }
  if (line.json) print_json({{"versions", list}});
  else if (versions.empty()) print("no earlier version yet: one is kept with every save\n");
}

void run_restore(CommandLine& line, const Restore& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  if (failed(line, folder->restore(given.version))) return;
  if (failed(line, folder->save())) return;
  const std::vector<KeptVersion> versions = versions_of(folder->dir() / (folder->is_job() ? "job.json" : "layer.json"));
  // What was there before is the newest of the versions kept: the way back.
  const int before = versions.empty() ? 0 : versions.back().number;
  if (line.json) print_json({{"restored", given.version}, {"before", before}, {"marks", folder->now().layer->marks.size()}});
  else print("version " + std::to_string(given.version) + " is back; what was there before is version " + std::to_string(before) + "\n");
}

}  // namespace

void add_history_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("history", "Earlier versions of a board or job, kept with every save");
  const auto dir = std::make_shared<std::string>();
  app->add_option("DIR", *dir, "board or job folder")->required();
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, dir] { run_history(line, *dir); });

  CLI::App* restore = line.app->add_subcommand("restore", "Put an earlier version back; the present one is kept as a version too");
  const auto given = std::make_shared<Restore>();
  restore->add_option("DIR", given->dir, "board or job folder")->required();
  restore->add_option("VERSION", given->version, "its number in: boardlore history DIR")->required();
  restore->add_flag("--json", line.json, "one JSON document on stdout");
  restore->callback([&line, given] { run_restore(line, *given); });
}

}  // namespace boardlore
