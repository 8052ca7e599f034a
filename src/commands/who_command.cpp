// boardlore who DIR: who has a board or job open just now. Told, never enforced: saves merge.
#include <chrono>

#include "commands/command_support.h"
#include "storage/presence.h"

namespace boardlore {
namespace {

void run_who(CommandLine& line, const std::string& dir) {
  std::error_code error;
  if (!std::filesystem::is_directory(dir, error)) return complain(line, Problem{dir, "DIR", "a board or job folder", "no such folder"});
  // Compared with file times, so the true time.
  const Timestamp now{std::chrono::duration_cast<std::chrono::milliseconds>(std::chrono::system_clock::now().time_since_epoch()).count()};
  JsonOut list = JsonOut::array();
  for (const Present& one : others_present(dir, now)) {
    list.push_back({{"who", one.who}, {"since", to_rfc3339(one.since)}, {"this_machine", one.this_machine}});
    if (!line.json) print((one.who.empty() ? std::string("somebody") : one.who) + "  since " + to_rfc3339(one.since) + (one.this_machine ? "  on this machine" : "") + "\n");
  }
  if (line.json) print_json({{"open", list}});
  else if (list.empty()) print("nobody has it open\n");
}

}  // namespace

void add_who_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("who", "Who has a board or job open in a window just now");
  const auto dir = std::make_shared<std::string>();
  app->add_option("DIR", *dir, "board or job folder")->required();
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, dir] { run_who(line, *dir); });
}

}  // namespace boardlore
