// boardlore diff A B: what changed between two layers, in words.
#include "commands/command_support.h"
#include "commands/terminal_text.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/layer_words.h"

namespace boardlore {
namespace {

struct Diff {
  std::string before, after;
  bool text = false;
};

Result<Layer> layer_in(const std::string& path) {
  std::error_code ignored;
  std::filesystem::path file(path);
  if (std::filesystem::is_directory(file, ignored)) file /= "layer.json";
  Result<std::string> bytes = read_file(file);
  if (!bytes) return bytes.problem();
  return read_layer(*bytes, file.string());
}

void run_diff(CommandLine& line, const Diff& given) {
  if (given.text != given.after.empty()) return complain(line, Problem{"", "B", given.text ? "one file with --text" : "two layers", given.text ? "two" : "one"});
  const Result<Layer> before = layer_in(given.before);
  if (given.text && !before) {
    // Git asks for every version of every file of that name, jobs too: what is no layer is shown as it is.
    const Result<std::string> bytes = read_file(given.before);
    return bytes ? print(*bytes) : complain(line, bytes.problem());
  }
  if (failed(line, before)) return;
  std::vector<std::string> lines;
  if (given.text) {
    lines = spoken_layer(*before);
  } else {
    const Result<Layer> after = layer_in(given.after);
    if (failed(line, after)) return;
    lines = spoken_differences(*before, *after);
    if (!lines.empty()) line.outcome = Outcome::finding;
  }
  if (line.json) return print_json({{"changes", lines}});
  for (const std::string& one : lines) print(safe_for_terminal(one) + "\n");
}

}  // namespace

void add_diff_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("diff", "What changed between two layers, in words; exit 1 if anything did");
  const auto given = std::make_shared<Diff>();
  app->add_option("A", given->before, "layer file or board folder")->required();
  app->add_option("B", given->after, "the later one");
  app->add_flag("--text", given->text, "print A alone in words, for a text diff");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_diff(line, *given); });
}

}  // namespace boardlore
