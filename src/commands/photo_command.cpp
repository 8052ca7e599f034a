// boardlore photo add | set: a photo into a board's or a job's folder; what is said of it, and how the record shows it.
#include <algorithm>
#include <array>
#include <cstdio>

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

struct PhotoSet {
  std::string dir, photo, stage, side;
  std::optional<std::string> note;
  std::vector<std::string> links, unlinks;
  std::optional<double> turn_deg;
  std::string crop;
};

// "x,y,width,height" in photo pixels; "none".
Result<std::optional<std::array<double, 4>>> crop_of(const std::string& text) {
  if (text == "none") return std::optional<std::array<double, 4>>{};
  std::array<double, 4> crop{};
  char rest = 0;
  if (std::sscanf(text.c_str(), "%lf,%lf,%lf,%lf%c", &crop[0], &crop[1], &crop[2], &crop[3], &rest) == 4 &&
      std::all_of(crop.begin(), crop.end(), [](double v) { return v >= 0 && v < 1e6; }) && crop[2] >= 1 && crop[3] >= 1)
    return std::optional(crop);
  return Problem{"", "--crop", "X,Y,WIDTH,HEIGHT in photo pixels, or none", text};
}

// A mark by designator or id, or an action by its id.
Result<Id> shown_by(const Folder& folder, const std::string& name) {
  for (const Action& action : folder.now().job->actions)
    if (action.id.text == name) return action.id;
  if (const MarkPtr mark = folder.now().layer->marks.find(Id{name})) return mark->id;
  const std::vector<MarkPtr> marks = find_marks(*folder.now().layer, name);
  if (marks.size() == 1) return marks.front()->id;
  return Problem{"", "--link", "the designator or id of one mark, or the id of an action", marks.empty() ? name + ", which is neither" : name + ", which several marks have"};
}

void run_photo_set(CommandLine& line, const PhotoSet& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  if (!folder->is_job()) return complain(line, Problem{given.dir, "DIR", "a job folder", "a board folder"});
  const std::vector<Photo>& photos = folder->now().job->photos;
  const Photo* found = folder->find_photo(given.photo);
  if (!found || std::none_of(photos.begin(), photos.end(), [&](const Photo& own) { return own.id == found->id; }))
    return complain(line, Problem{given.dir, "PHOTO", "a photo of the job", given.photo});
  Photo photo = *found;
  if (const auto stage = stage_of(given.stage)) photo.stage = stage;
  if (!given.side.empty()) photo.side = *parse_side(given.side);
  if (given.note) photo.note = *given.note;
  if (given.turn_deg) photo.turn_deg = *given.turn_deg;
  if (!given.crop.empty()) {
    const auto crop = crop_of(given.crop);
    if (failed(line, crop)) return;
    photo.crop_px = *crop;
  }
  for (const auto& [names, link] : {std::pair{&given.links, true}, std::pair{&given.unlinks, false}})
    for (const std::string& name : *names) {
      const Result<Id> shown = shown_by(*folder, name);
      if (failed(line, shown)) return;
      std::erase(photo.linked, *shown);
      if (link) photo.linked.push_back(*shown);
    }
  if (failed(line, folder->commit(PutPhoto{photo})) || failed(line, folder->save())) return;
  if (line.json)
    print_json({{"id", photo.id.text}, {"file", photo.file}, {"note", photo.note}, {"turn_deg", photo.turn_deg}, {"linked", photo.linked.size()}});
  else
    print("changed " + photo.file + "\n");
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

  CLI::App* set = family->add_subcommand("set", "Say what a job's photo shows and how the record shows it; the file is never touched");
  const auto changed = std::make_shared<PhotoSet>();
  set->add_option("DIR", changed->dir, "job folder")->required();
  set->add_option("PHOTO", changed->photo, "its file name in the job")->required();
  set->add_option("--stage", changed->stage, "when in the job it was taken")->check(CLI::IsMember({"intake", "before", "during", "after"}));
  set->add_option("--side", changed->side, "side it shows")->check(CLI::IsMember({"top", "bottom"}));
  set->add_option("--note", changed->note, "what it shows, in words");
  set->add_option("--link", changed->links, "a mark or an action that it shows");
  set->add_option("--unlink", changed->unlinks, "one that it does not");
  set->add_option("--turn", changed->turn_deg, "in the record, degrees clockwise")->check(CLI::Range(-360.0, 360.0));
  set->add_option("--crop", changed->crop, "in the record: X,Y,WIDTH,HEIGHT in photo pixels, or none");
  set->add_flag("--json", line.json, "one JSON document on stdout");
  set->callback([&line, changed] { run_photo_set(line, *changed); });
}

}  // namespace boardlore
