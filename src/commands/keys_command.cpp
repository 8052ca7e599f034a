// boardlore keys: every key of the window with the name it has in the keys file, and what is wrong in that file.
#include "bench/key_bindings.h"
#include "commands/command_support.h"
#include "commands/program_face.h"
#include "commands/text_table.h"
#include "storage/user_folders.h"

namespace boardlore {

void add_keys_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("keys", "List the window's keys, and check the keys file (NAME = KEY a line)");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line] {
    std::vector<Problem> problems;
    const std::filesystem::path file = config_file("keys");
    const std::vector<CommandRow> rows = with_keys_of(file, usual_keys(), problems);
    JsonOut json = JsonOut::array();
    std::vector<std::vector<std::string>> table;
    for (const CommandRow& row : rows) {
      json.push_back({{"name", command_name(row.command)}, {"key", key_words(row)}, {"group", row.group}, {"words", row.words}});
      table.push_back({command_name(row.command), key_words(row), row.words});
    }
    if (line.json) print_json(json);
    else print(text_table(table) + "\nOwn keys: " + (file.empty() ? "no home folder" : file.string()) + ", NAME = KEY a line, as: other-side = F7\n");
    for (const Problem& problem : problems) complain(line, problem);
  });
}

}  // namespace boardlore
