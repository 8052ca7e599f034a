// boardlore export: the layer for later jobs.
#include "commands/command_support.h"
#include "exchange/export_layer.h"

namespace boardlore {
namespace {

struct Export {
  std::string dir, out;
  bool into_board = false, keep_names = false;
};

void run_export(CommandLine& line, const Export& given) {
  if (given.out.empty() == !given.into_board)
    return complain(line, Problem{"", "-o", "either -o FILE or --into-board", given.into_board ? "both" : "neither"});
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  std::size_t disputes = 0;
  if (given.into_board) {
    const Result<std::size_t> shared = share_with_board(*folder, folder->session());
    if (failed(line, shared)) return;
    disputes = *shared;
  } else if (failed(line, export_layer(*folder, given.out, given.keep_names))) {
    return;
  }
  const std::size_t marks = folder->now().layer->marks.size();
  if (line.json) print_json({{"out", given.into_board ? folder->board_dir().string() : given.out}, {"marks", marks}, {"disputes", disputes}});
  else
    print("exported " + std::to_string(marks) + " marks to " + (given.into_board ? folder->board_dir().string() : given.out) +
          (disputes > 0 ? "; " + std::to_string(disputes) + " disputes to settle" : "") + "\n");
  if (disputes > 0) line.outcome = Outcome::finding;
}

}  // namespace

void add_export_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("export", "The layer for later jobs: nothing of the owner, the serial number, or the place");
  const auto given = std::make_shared<Export>();
  app->add_option("DIR", given->dir, "job (or board) folder")->required();
  app->add_option("-o,--out", given->out, "layer file to write; reference photos go beside it");
  app->add_flag("--into-board", given->into_board, "merge what this job taught into its board's own folder");
  app->add_flag("--keep-names", given->keep_names, "leave technicians' names on notes");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_export(line, *given); });
}

}  // namespace boardlore
