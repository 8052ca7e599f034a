// boardlore check: validates layers and jobs; each fault with its file and JSON pointer.
#include "commands/command_support.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

// A folder stands for the document in it.
std::filesystem::path document_of(const std::filesystem::path& path) {
  std::error_code ignored;
  if (!std::filesystem::is_directory(path, ignored)) return path;
  for (const char* name : {"job.json", "layer.json", "shop.json"})
    if (std::filesystem::exists(path / name, ignored)) return path / name;
  return path / "layer.json";
}

void run_check(CommandLine& line, const std::vector<std::string>& paths) {
  JsonOut list = JsonOut::array();
  std::size_t faults = 0;
  for (const std::string& path : paths) {
    const std::filesystem::path file = document_of(path);
    const Result<std::string> text = read_file(file);
    const std::vector<Problem> found = text ? check_document(*text, file.string()) : std::vector<Problem>{text.problem()};
    for (const Problem& problem : found) {
      list.push_back({{"file", problem.file}, {"where", problem.where}, {"expected", problem.expected}, {"found", problem.found}});
      if (!line.json) print(to_text(problem) + "\n");
      if (problem.outcome == Outcome::system_failed) line.outcome = Outcome::system_failed;
    }
    faults += found.size();
    if (found.empty() && !line.json) print(file.string() + ": fine\n");
  }
  if (line.json) print_json({{"faults", list}});
  if (faults > 0 && line.outcome == Outcome::done) line.outcome = Outcome::bad_input;
}

}  // namespace

void add_check_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("check", "Validate layers, jobs and shop files: each fault with file and JSON pointer");
  const auto paths = std::make_shared<std::vector<std::string>>();
  app->add_option("PATH", *paths, "files, or folders that hold one")->required();
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, paths] { run_check(line, *paths); });
}

}  // namespace boardlore
