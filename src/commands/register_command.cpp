// boardlore register: how a photo lies on the board, from picked points or found by itself.
#include <cstdio>

#include "commands/command_support.h"
#include "commands/register_auto.h"
#include "geometry/registration_fit.h"
#include "storage/points_file.h"

namespace boardlore {
namespace {

struct Register {
  std::string dir, photo, points, side;
  bool automatic = false;
};

constexpr const char* model_names[] = {"homography", "affine", "similarity"};

JsonOut json_of(const FitReport& fit) {
  const Registration& r = fit.registration;
  JsonOut json;
  json["model"] = model_names[static_cast<std::size_t>(r.model)];
  json["board_from_photo"] = r.board_from_photo.rows;
  json["rms_mm"] = r.rms_mm;
  json["leave_one_out_mm"] = r.leave_one_out_mm ? JsonOut(*r.leave_one_out_mm) : JsonOut(nullptr);
  json["residuals_mm"] = fit.residuals_mm;
  json["mirrored"] = r.mirrored;
  json["px_per_mm"] = r.px_per_mm;
  json["spoiling_point"] = fit.spoiler_index ? JsonOut(*fit.spoiler_index + 1) : JsonOut(nullptr);
  json["notes"] = fit.notes;
  return json;
}

std::string text_of(const FitReport& fit, const std::string& photo) {
  const Registration& r = fit.registration;
  char text[240];
  std::snprintf(text, sizeof text, "%s: %s from %zu points, %.1f px per mm%s\n", photo.c_str(), model_names[static_cast<std::size_t>(r.model)],
                r.fiducials.size(), r.px_per_mm, r.mirrored ? ", bottom side" : "");
  std::string all = text;
  if (r.leave_one_out_mm) {
    std::snprintf(text, sizeof text, "residual %.3f mm RMS, leave-one-out %.3f mm\n", r.rms_mm, *r.leave_one_out_mm);
    all += text;
  } else {
    all += "no point to spare: the error can't be told from these points\n";
  }
  for (std::size_t i = 0; i < fit.residuals_mm.size(); ++i) {
    std::snprintf(text, sizeof text, "  point %zu: %.3f mm%s\n", i + 1, fit.residuals_mm[i], fit.spoiler_index == i ? "  <- spoils the fit" : "");
    all += text;
  }
  for (const std::string& note : fit.notes) all += note + "\n";
  return all;
}

void run_register(CommandLine& line, const Register& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  if (given.automatic)
    return run_register_auto(line, *folder, given.photo, given.side.empty() ? std::nullopt : parse_side(given.side));
  const Result<const Photo*> photo = photo_named(*folder, given.photo);
  if (failed(line, photo)) return;
  const Result<std::string> text = read_argument_file(given.points);
  if (failed(line, text)) return;
  const Result<std::vector<Fiducial>> points = read_points(*text, given.points == "-" ? "standard input" : given.points);
  if (failed(line, points)) return;
  const Side side = given.side.empty() ? (*photo)->side : *parse_side(given.side);
  const Result<FitReport> fit = fit_registration(*points, side);
  if (!fit) {
    Problem problem = fit.problem();
    if (problem.file.empty()) problem.file = given.photo;
    problem.outcome = Outcome::finding;  // points that are well formed and carry no registration
    return complain(line, problem);
  }
  if (failed(line, folder->commit(RegisterPhoto{(*photo)->id, fit->registration})) || failed(line, folder->save())) return;
  if (line.json) print_json(json_of(*fit));
  else print(text_of(*fit, given.photo));
}

}  // namespace

void add_register_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("register", "Lay a photo on the board from picked points, or let it find its own place");
  const auto given = std::make_shared<Register>();
  app->add_option("DIR", given->dir, "board or job folder")->required();
  app->add_option("PHOTO", given->photo, "a photo of that folder, by name")->required();
  CLI::Option* picked =
      app->add_option("--points", given->points, R"(file, or - for stdin: [{"photo_px":[x,y],"board_mm":[x,y]}, ...])");
  CLI::Option* found = app->add_flag("--auto", given->automatic, "find its place on the photos that are registered; refused where in doubt");
  picked->excludes(found);
  app->add_option("--side", given->side, "side it shows, where it differs from what was said when it was added")
      ->check(CLI::IsMember({"top", "bottom"}));
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] {
    if (!given->automatic && given->points.empty()) throw CLI::RequiredError("--points or --auto");
    run_register(line, *given);
  });
}

}  // namespace boardlore
