// boardlore watch: pictures that a phone or a microscope camera saves into a folder come into the job.
#include <algorithm>
#include <atomic>
#include <chrono>
#include <csignal>
#include <thread>

#include "commands/command_support.h"
#include "commands/register_auto.h"
#include "exchange/take_in_photo.h"
#include "record/photo_watch.h"

namespace boardlore {
namespace {

std::atomic<bool> stop_asked{false};
extern "C" void ask_to_stop(int) { stop_asked = true; }

struct Given {
  std::string dir, folder, stage, side = "top";
  double interval_s = 1, for_s = 0;
  bool no_register = false;
};

std::optional<PhotoStage> stage_of(const std::string& name) {
  if (name == "intake") return PhotoStage::intake;
  if (name == "before") return PhotoStage::before;
  if (name == "during") return PhotoStage::during;
  if (name == "after") return PhotoStage::after;
  return std::nullopt;
}

// Where it lies on the board, if another photo of that board is registered; nothing is guessed.
std::string place_of(Folder& folder, const Photo& photo) {
  const auto photos = folder.photos();
  if (std::none_of(photos.begin(), photos.end(), [&](const Photo* other) { return other->registration && other->id != photo.id; })) return "";
  const Result<AutoOutcome> outcome = find_own_place(folder, photo, std::nullopt);
  if (!outcome) return "not registered: " + outcome.problem().found;
  if (const auto* refusal = std::get_if<AutoRefusal>(&*outcome)) return "not registered: " + refusal->words;
  return "registered by itself: look at the overlay before trusting it";
}

void run(CommandLine& line, const Given& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  if (!folder->is_job()) return complain(line, Problem{given.dir, "JOBDIR", "a job folder", "a board folder"});
  if (!std::filesystem::is_directory(given.folder))
    return complain(line, Problem{given.folder, "FOLDER", "a folder to watch", "none there"});
  std::signal(SIGINT, ask_to_stop);
  std::signal(SIGTERM, ask_to_stop);
  JsonOut taken = JsonOut::array();
  const auto take_in = [&](const std::filesystem::path& file) -> Result<Done> {
    std::optional<PhotoStage> stage = stage_of(given.stage);
    if (!stage) {
      const Result<PictureInfo> info = probe_picture(file);
      if (!info) return info.problem();
      stage = stage_by_time(*folder->now().job, info->taken_at, PhotoStage::intake);
    }
    const Result<Photo> photo = take_in_photo(*folder, file, *parse_side(given.side), stage);
    if (!photo) {
      if (photo.problem().outcome == Outcome::finding) return Done{};  // here already
      return photo.problem();
    }
    // Saved before its place is looked for: that takes seconds, and the photo must not be lost meanwhile.
    if (const Result<Done> saved = folder->save(); !saved) return saved.problem();
    const std::string place = given.no_register ? "" : place_of(*folder, *photo);
    if (const Result<Done> saved = folder->save(); !saved) return saved.problem();
    if (line.json)
      taken.push_back({{"file", photo->file}, {"sha256", photo->sha256}, {"registered", place.starts_with("registered")}});
    else
      print("added " + photo->file + (place.empty() ? "" : ", " + place) + "\n");
    return Done{};
  };
  PhotoWatch watch(given.folder);
  const auto until = std::chrono::steady_clock::now() + std::chrono::duration<double>(given.for_s);
  while (!stop_asked) {
    for (const Problem& problem : watch.look(take_in).problems) complain(line, problem);
    if (given.for_s > 0 && std::chrono::steady_clock::now() >= until) break;
    std::this_thread::sleep_for(std::chrono::duration<double>(given.interval_s));
  }
  line.outcome = Outcome::done;  // a picture that could not be read was told of; the watch itself went well
  if (line.json) print_json({{"taken_in", taken}});
}

}  // namespace

void add_watch_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("watch", "Take in pictures as they are saved into a folder, until stopped");
  const auto given = std::make_shared<Given>();
  app->add_option("JOBDIR", given->dir, "job folder")->required();
  app->add_option("FOLDER", given->folder, "where the camera saves")->required();
  app->add_option("--stage", given->stage, "when in the job (default: by the time they were taken)")
      ->check(CLI::IsMember({"intake", "before", "during", "after"}));
  app->add_option("--side", given->side, "side they show")->check(CLI::IsMember({"top", "bottom"}));
  app->add_flag("--no-register", given->no_register, "leave registering for later");
  app->add_option("--interval", given->interval_s, "seconds between looks")->check(CLI::Range(0.05, 3600.0));
  app->add_option("--for", given->for_s, "stop after so many seconds (0: until told to)")->check(CLI::Range(0.0, 1e7));
  app->add_flag("--json", line.json, "one JSON document on stdout at the end");
  app->callback([&line, given] { run(line, *given); });
}

}  // namespace boardlore
