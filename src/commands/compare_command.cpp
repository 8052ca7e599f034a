// boardlore compare: which parts look moved, missing or turned between two photos of a job.
#include <cstdio>

#include "alignment/difference.h"
#include "commands/command_support.h"
#include "pictures/encode.h"
#include "pictures/photo_file.h"
#include "record/keep_comparison.h"

namespace boardlore {
namespace {

struct Compare {
  std::string dir, before, after, difference;
  bool surroundings = false, keep = false;
};

JsonOut json_of(const PartComparison& part) {
  JsonOut json;
  json["refdes"] = part.refdes;
  json["verdict"] = verdict_name(part.verdict);
  json["turn_deg"] = part.turn_deg;
  json["shift_mm"] = part.shift_mm;
  json["confidence"] = part.confidence;
  json["words"] = part.words;
  return json;
}

JsonOut json_of(const Comparison& comparison, bool with_surroundings) {
  JsonOut parts = JsonOut::array();
  for (const PartComparison& part : comparison.parts) parts.push_back(json_of(part));
  if (!with_surroundings) return parts;
  JsonOut places = JsonOut::array();
  for (const SurroundingChange& change : comparison.surroundings)
    places.push_back({{"at_mm", json_point(BoardPoint{change.place.left_mm + change.place.width_mm / 2,
                                                      change.place.low_mm + change.place.height_mm / 2})},
                      {"size_mm", JsonOut::array({change.place.width_mm, change.place.height_mm})},
                      {"area_mm2", change.area_mm2}});
  return {{"parts", parts}, {"surroundings", places}};
}

std::string text_of(const Comparison& comparison) {
  std::string all;
  char text[400];
  int same = 0, unclear = 0;
  for (const PartComparison& part : comparison.parts) {
    same += part.verdict == PartVerdict::same;
    unclear += part.verdict == PartVerdict::cannot_tell;
    if (!is_finding(part.verdict)) continue;
    std::snprintf(text, sizeof text, "%-8s %-8s confidence %.2f: ", part.refdes.c_str(), std::string(verdict_name(part.verdict)).c_str(),
                  part.confidence);
    all += text + part.words + "\n";
  }
  std::snprintf(text, sizeof text, "%d parts look the same, %d can't be told\n", same, unclear);
  all += text;
  for (const PartComparison& part : comparison.parts)
    if (part.verdict == PartVerdict::cannot_tell) all += "  " + part.refdes + ": " + part.words + "\n";
  for (const SurroundingChange& change : comparison.surroundings) {
    std::snprintf(text, sizeof text, "changed beside the parts: %.2f mm2 at %.1f,%.1f mm\n", change.area_mm2,
                  change.place.left_mm + change.place.width_mm / 2, change.place.low_mm + change.place.height_mm / 2);
    all += text;
  }
  return all + "An aid to the eye, not the last word: look at what it names, and at pin 1.\n";
}

// `photos` by value: a commit makes a new snapshot, and the photos of the old one may go.
Result<Done> keep(Folder& folder, const Comparison& comparison, const ComparedPhotos photos) {
  const Session& session = folder.session();
  const Result<Edit> edit = keep_comparison_edit(folder.now(), comparison, photos, session.technician, session.now(), session.new_id());
  if (!edit) return edit.problem();
  if (const Result<Done> done = folder.commit(*edit); !done) return done;
  if (const auto saved = folder.save(); !saved) return saved.problem();
  return Done{};
}

void run_compare(CommandLine& line, const Compare& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  // Said before minutes of work, not after.
  if (given.keep && !folder->now().job) return complain(line, {given.dir, "--keep", "a job folder", "a board folder", Outcome::bad_input});
  if (given.keep && folder->now().job->hand_back)
    return complain(line, {given.dir, "--keep", "a job that is open", "one that was handed back (reopen it first)", Outcome::bad_input});
  const Result<const Photo*> before = photo_named(*folder, given.before), after = photo_named(*folder, given.after);
  if (failed(line, before) || failed(line, after)) return;
  if (failed(line, map_of(**before)) || failed(line, map_of(**after))) return;
  if ((*before)->side != (*after)->side)
    return complain(line, {given.after, "", "two photos of one side",
                           "the " + std::string(side_name((*before)->side)) + " and the " + std::string(side_name((*after)->side)), Outcome::bad_input});
  const Result<Raster> first = decode_full(folder->photo_path(**before));
  if (failed(line, first)) return;
  const Result<Raster> second = decode_full(folder->photo_path(**after));
  if (failed(line, second)) return;
  const Result<Comparison> comparison = compare_photos({&*first, *(*before)->registration}, {&*second, *(*after)->registration},
                                                       *folder->now().layer, (*before)->side);
  if (failed(line, comparison)) return;
  if (!given.difference.empty()) {
    const Result<DifferencePicture> seen = difference_picture({&*first, *(*before)->registration}, {&*second, *(*after)->registration},
                                                              folder->now().layer->board, (*before)->side);
    if (failed(line, seen)) return;
    const bool png = given.difference.size() > 4 && given.difference.substr(given.difference.size() - 4) == ".png";
    if (failed(line, png ? write_png(given.difference, seen->picture) : write_jpeg(given.difference, seen->picture, 90))) return;
  }
  if (given.keep && failed(line, keep(*folder, *comparison, {(*before)->id, (*after)->id}))) return;
  if (line.json) print_json(json_of(*comparison, given.surroundings));
  else print(text_of(*comparison) + (given.keep ? "kept in the job, and told in its record\n" : ""));
  for (const PartComparison& part : comparison->parts)
    if (is_finding(part.verdict)) line.outcome = Outcome::finding;
}

}  // namespace

void add_compare_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("compare", "Say which parts look moved, missing or turned between two photos");
  const auto given = std::make_shared<Compare>();
  app->add_option("JOBDIR", given->dir, "job or board folder")->required();
  app->add_option("BEFORE", given->before, "a registered photo")->required();
  app->add_option("AFTER", given->after, "a registered photo of the same side")->required();
  app->add_flag("--keep", given->keep, "keep the answer in the job: it is told in the record, and the parts count as compared");
  app->add_flag("--json", line.json, "one JSON document on stdout: a list of parts");
  app->add_flag("--surroundings", given->surroundings, R"(with --json: {"parts": [...], "surroundings": [...]})");
  app->add_option("--difference", given->difference, "picture to write: the later photo square-on, differences glowing; .jpg or .png");
  app->callback([&line, given] { run_compare(line, *given); });
}

}  // namespace boardlore
