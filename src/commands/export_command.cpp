// boardlore export: the layer for later jobs.
#include "commands/command_support.h"
#include "exchange/bundle.h"
#include "exchange/export_layer.h"

namespace boardlore {
namespace {

struct Export {
  std::string dir, out, bundle;
  bool into_board = false, keep_names = false;
};

std::string left_out(const SharedFiles& shared) {
  std::string words;
  if (shared.words_left_out > 0) words += "; " + std::to_string(shared.words_left_out) + " private words in texts left out";
  if (shared.disputes_left_out > 0) words += "; " + std::to_string(shared.disputes_left_out) + " disputes are not settled: what shows now goes out";
  if (!shared.counts_left_out.empty()) words += "; the counts of what cured are left out, as the shop's number could not be kept: " + shared.counts_left_out;
  return words;
}

void run_export(CommandLine& line, const Export& given) {
  const int ways = (given.out.empty() ? 0 : 1) + (given.bundle.empty() ? 0 : 1) + (given.into_board ? 1 : 0);
  if (ways != 1)
    return complain(line, Problem{"", "-o", "one of -o FILE, --bundle FILE and --into-board", ways == 0 ? "none" : "more than one"});
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  std::size_t disputes = 0;
  SharedFiles shared;
  const std::string out = given.into_board ? folder->board_dir().string() : given.bundle.empty() ? given.out : given.bundle;
  if (given.into_board) {
    const Result<std::size_t> merged = share_with_board(*folder, folder->session());
    if (failed(line, merged)) return;
    disputes = *merged;
  } else {
    Result<SharedFiles> written = given.bundle.empty() ? export_layer(*folder, given.out, given.keep_names) : export_bundle(*folder, given.bundle, given.keep_names);
    if (failed(line, written)) return;
    shared = *std::move(written);
  }
  const std::size_t marks = folder->now().layer->marks.size();
  if (line.json)
    print_json({{"out", out}, {"marks", marks}, {"photos", shared.photos.size()}, {"words_left_out", shared.words_left_out}, {"counts_left_out", shared.counts_left_out}, {"disputes", disputes}});
  else
    print("exported " + std::to_string(marks) + " marks to " + out + (disputes > 0 ? "; " + std::to_string(disputes) + " disputes to settle" : "") + left_out(shared) + "\n");
  if (disputes > 0) line.outcome = Outcome::finding;
}

struct Unpack {
  std::string bundle, dir;
};

void run_unpack(CommandLine& line, const Unpack& given) {
  const Result<SharedFiles> files = unpack_bundle(given.bundle, given.dir);
  if (failed(line, files)) return;
  const Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const std::size_t marks = folder->now().layer->marks.size();
  if (line.json) print_json({{"dir", given.dir}, {"marks", marks}, {"photos", files->photos.size()}});
  else print(given.dir + " is a board of " + std::to_string(marks) + " marks and " + std::to_string(files->photos.size()) + " photos\n");
}

}  // namespace

void add_export_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("export", "The layer for later jobs: nothing of the owner, the serial number, or the place");
  const auto given = std::make_shared<Export>();
  app->add_option("DIR", given->dir, "job (or board) folder")->required();
  app->add_option("-o,--out", given->out, "layer file to write; reference photos go beside it");
  app->add_option("--bundle", given->bundle, "layer and reference photos in one .zip, for another shop to unpack");
  app->add_flag("--into-board", given->into_board, "merge what this job taught into its board's own folder");
  app->add_flag("--keep-names", given->keep_names, "leave technicians' names on notes");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_export(line, *given); });

  CLI::App* unpack = line.app->add_subcommand("unpack", "A board from another shop's bundle, checked whole before anything is written");
  const auto from = std::make_shared<Unpack>();
  unpack->add_option("BUNDLE", from->bundle, "the .zip that export --bundle made")->required();
  unpack->add_option("DIR", from->dir, "new or empty folder for the board")->required();
  unpack->add_flag("--json", line.json, "one JSON document on stdout");
  unpack->callback([&line, from] { run_unpack(line, *from); });
}

}  // namespace boardlore
