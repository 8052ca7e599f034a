// boardlore marks-csv BOARDDIR: every mark as a row of a CSV, which `import --kind points` reads back.
#include <cstdio>
#include <memory>

#include "commands/command_support.h"
#include "import/points_csv.h"
#include "storage/file_bytes.h"

namespace boardlore {

void add_marks_csv_command(CommandLine& line) {
  struct Options {
    std::string board, out;
  };
  auto options = std::make_shared<Options>();
  CLI::App* app = line.app->add_subcommand("marks-csv", "Write the marks of a board as CSV");
  app->add_option("BOARDDIR", options->board, "The board's folder (or a job's)")->required();
  app->add_option("--out", options->out, "File to write; the terminal without it");
  app->callback([options, &line] {
    Result<Folder> folder = open_folder(line, options->board);
    if (!folder) return complain(line, folder.problem());
    const std::string csv = write_marks_csv(*folder->now().layer);
    if (options->out.empty()) {
      std::fwrite(csv.data(), 1, csv.size(), stdout);
      return;
    }
    if (const Result<Done> written = write_file_atomically(options->out, csv); !written) complain(line, written.problem());
  });
}

}  // namespace boardlore
