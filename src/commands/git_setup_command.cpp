// boardlore git-setup: a repository's git merges layers and jobs with `boardlore merge`.
//
// Git keeps which program a merge driver is in the clone's own configuration (gitattributes(5), "Defining a
// custom merge driver"), so each clone runs this once; the attributes are a file of the repository.
#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>

#include "commands/command_support.h"
#include "storage/file_bytes.h"

extern char** environ;  // NOLINT: POSIX has it so

namespace boardlore {
namespace {

namespace fs = std::filesystem;

// Runs git in `dir`, no shell in between. The exit code; -1: it did not run.
int run_git(const std::string& dir, std::vector<std::string> words) {
  words.insert(words.begin(), {"git", "-C", dir});
  std::vector<char*> arguments;
  for (std::string& word : words) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  // What git says on stdout is none of our report.
  posix_spawn_file_actions_t actions;
  if (::posix_spawn_file_actions_init(&actions) != 0) return -1;
  ::posix_spawn_file_actions_addopen(&actions, 1, "/dev/null", O_WRONLY, 0);
  pid_t child = 0;
  const int spawned = ::posix_spawnp(&child, "git", &actions, nullptr, arguments.data(), environ);
  ::posix_spawn_file_actions_destroy(&actions);
  if (spawned != 0) return -1;
  int status = 0;
  if (::waitpid(child, &status, 0) != child || !WIFEXITED(status)) return -1;
  return WEXITSTATUS(status);
}

// In single quotes for the shell that git starts the driver with.
std::string shell_quoted(const std::string& text) {
  std::string quoted = "'";
  for (const char c : text) quoted += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return quoted + "'";
}

Result<Done> add_lines(const fs::path& file, const std::vector<std::string>& lines) {
  std::error_code ignored;
  std::string text;
  if (fs::exists(file, ignored)) {
    Result<std::string> there = read_file(file);
    if (!there) return there.problem();
    text = *std::move(there);
  }
  const std::string before = text;
  for (const std::string& line : lines)
    if (("\n" + text + "\n").find("\n" + line + "\n") == std::string::npos) {
      if (!text.empty() && text.back() != '\n') text += '\n';
      text += line + "\n";
    }
  return text == before ? Result<Done>(Done{}) : write_file_atomically(file, text);
}

void run_setup(CommandLine& line, const std::string& dir) {
  std::error_code error;
  const fs::path program = fs::read_symlink("/proc/self/exe", error);
  const std::string name = error ? std::string("boardlore") : shell_quoted(program.string());
  if (run_git(dir, {"rev-parse", "--git-dir"}) != 0) return complain(line, Problem{dir, "", "a folder of a git repository", "none, or git is not there"});
  const std::pair<const char*, std::string> settings[] = {{"merge.boardlore.name", "boardlore: member by member, both values kept"},
                                                          {"merge.boardlore.driver", name + " merge %O %A %B -o %A"},
                                                          {"diff.boardlore.textconv", name + " diff --text"}};
  for (const auto& [key, value] : settings)
    if (run_git(dir, {"config", "--local", key, value}) != 0)
      return complain(line, Problem{dir, key, "git to take the setting", "it did not", Outcome::system_failed});
  const fs::path folder(dir);
  if (failed(line, add_lines(folder / ".gitattributes", {"layer.json merge=boardlore diff=boardlore", "job.json merge=boardlore diff=boardlore"})))
    return;
  if (failed(line, add_lines(folder / ".gitignore", {".*.journal", ".history/", ".saving", ".open-*", ".*.new", ".uncovered/"}))) return;
  if (line.json) print_json({{"dir", dir}});
  else print("git merges layers and jobs with boardlore in this clone; commit .gitattributes and .gitignore\n");
}

}  // namespace

void add_git_setup_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("git-setup", "Let git merge and show layers and jobs with boardlore; once a clone");
  const auto dir = std::make_shared<std::string>(".");
  app->add_option("DIR", *dir, "top folder of the repository");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, dir] { run_setup(line, *dir); });
}

}  // namespace boardlore
