// boardlore photo add: a photo into a board's or a job's folder.
#include "commands/command_support.h"
#include "exchange/take_in_photo.h"

namespace boardlore {
namespace {

struct PhotoAdd {
  std::string dir, photo, side, stage;
};

std::optional<PhotoStage> stage_of(const std::string& name) {
  if (name == "intake") return PhotoStage::intake;
  if (name == "before") return PhotoStage::before;
  if (name == "during") return PhotoStage::during;
  if (name == "after") return PhotoStage::after;
  return std::nullopt;
}

void run_photo_add(CommandLine& line, const PhotoAdd& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  if (!folder->is_job() && !given.stage.empty())
    return complain(line, Problem{given.dir, "--stage", "a job folder", "a board folder: its reference photos have no stage"});
  std::optional<PhotoStage> stage = stage_of(given.stage);
  if (folder->is_job() && !stage) stage = PhotoStage::intake;
  const Result<Photo> photo = take_in_photo(*folder, given.photo, *parse_side(given.side), stage);
  if (failed(line, photo) || failed(line, folder->save())) return;
  if (line.json)
    print_json({{"id", photo->id.text}, {"file", photo->file}, {"side", given.side}, {"sha256", photo->sha256},
                {"width_px", photo->width_px}, {"height_px", photo->height_px},
                {"captured_at", photo->captured_at ? JsonOut(to_rfc3339(*photo->captured_at)) : JsonOut(nullptr)}});
  else
    print("added " + photo->file + " (" + std::to_string(photo->width_px) + " x " + std::to_string(photo->height_px) + " px, " + given.side + ")\n");
}

}  // namespace

void add_photo_command(CommandLine& line) {
  CLI::App* family = line.app->add_subcommand("photo", "Photos of a board or a job");
  family->require_subcommand(1);
  CLI::App* add = family->add_subcommand("add", "Copy a photo in: as taken into a job, scrubbed of private metadata into a board");
  const auto given = std::make_shared<PhotoAdd>();
  add->add_option("DIR", given->dir, "board or job folder")->required();
  add->add_option("PHOTO", given->photo, "the picture file")->required();
  add->add_option("--side", given->side, "side it shows")->required()->check(CLI::IsMember({"top", "bottom"}));
  add->add_option("--stage", given->stage, "when in the job it was taken (default: intake)")
      ->check(CLI::IsMember({"intake", "before", "during", "after"}));
  add->add_flag("--json", line.json, "one JSON document on stdout");
  add->callback([&line, given] { run_photo_add(line, *given); });
}

}  // namespace boardlore
