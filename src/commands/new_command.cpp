// boardlore new board | new job: the folder everything else works on.
#include "commands/command_support.h"
#include "exchange/take_in_photo.h"

namespace boardlore {
namespace {

struct NewBoard {
  std::string dir, size, top, bottom;
  Board board;
};

void run_new_board(CommandLine& line, NewBoard& given) {
  if (!given.size.empty()) {
    const auto size = size_mm(given.size);
    if (failed(line, size)) return;
    given.board.width_mm = size->first;
    given.board.height_mm = size->second;
  }
  // Photos are looked at before anything is made.
  for (const std::string& photo : {given.top, given.bottom})
    if (!photo.empty() && failed(line, probe_picture(photo))) return;
  Result<Folder> folder = Folder::create_board(given.dir, given.board, command_session(line));
  if (failed(line, folder)) return;
  for (const auto& [photo, side] : {std::pair{given.top, Side::top}, std::pair{given.bottom, Side::bottom}})
    if (!photo.empty() && failed(line, take_in_photo(*folder, photo, side, std::nullopt))) return;
  if (failed(line, folder->save())) return;
  if (line.json) print_json({{"dir", given.dir}, {"id", folder->now().layer->id.text}, {"photos", folder->photos().size()}});
  else print("new board " + given.board.model + " in " + given.dir + "\n");
}

struct NewJob {
  std::string dir, board, reported, symptom, serial, owner, side = "top";
  std::vector<std::string> photos;
};

void run_new_job(CommandLine& line, const NewJob& given) {
  for (const std::string& photo : given.photos)
    if (failed(line, probe_picture(photo))) return;
  Job job;
  job.reported = given.reported;
  job.symptom = given.symptom;
  job.unit.serial = given.serial;
  job.unit.owner = given.owner;
  Result<Folder> folder = Folder::create_job(given.dir, given.board, job, command_session(line));
  if (failed(line, folder)) return;
  for (const std::string& photo : given.photos)
    if (failed(line, take_in_photo(*folder, photo, *parse_side(given.side), PhotoStage::intake))) return;
  if (failed(line, folder->save())) return;
  if (line.json) print_json({{"dir", given.dir}, {"id", folder->now().job->id.text}, {"photos", folder->now().job->photos.size()}});
  else print("new job on " + folder->now().layer->board.model + " in " + given.dir + "\n");
}

}  // namespace

void add_new_command(CommandLine& line) {
  CLI::App* family = line.app->add_subcommand("new", "Begin a board or a job");
  family->require_subcommand(1);

  CLI::App* board = family->add_subcommand("board", "A new board model: a folder with its layer");
  const auto b = std::make_shared<NewBoard>();
  board->add_option("DIR", b->dir, "the new folder")->required();
  board->add_option("--maker", b->board.maker, "who makes the board")->required();
  board->add_option("--model", b->board.model, "model as printed")->required();
  board->add_option("--revision", b->board.revision, "revision as printed")->required();
  board->add_option("--size", b->size, "outline in mm, width x height seen from the top, as in 148x96");
  board->add_option("--top", b->top, "reference photo of the top");
  board->add_option("--bottom", b->bottom, "reference photo of the bottom");
  board->add_flag("--json", line.json, "one JSON document on stdout");
  board->callback([&line, b] { run_new_board(line, *b); });

  CLI::App* job = family->add_subcommand("job", "A new job: one unit of a known board on the bench");
  const auto j = std::make_shared<NewJob>();
  job->add_option("DIR", j->dir, "the new folder")->required();
  job->add_option("--board", j->board, "the board's folder")->required();
  job->add_option("--reported", j->reported, "what the owner reports")->required();
  job->add_option("--symptom", j->symptom, "the shop's own word for it (boardlore symptom)");
  job->add_option("--unit", j->serial, "serial number of the unit");
  job->add_option("--owner", j->owner, "whose it is");
  job->add_option("--side", j->side, "side that the photos show")->check(CLI::IsMember({"top", "bottom"}));
  job->add_option("PHOTO", j->photos, "intake photos");
  job->add_flag("--json", line.json, "one JSON document on stdout");
  job->callback([&line, j] { run_new_job(line, *j); });
}

}  // namespace boardlore
