#include "commands/register_auto.h"

#include <cstdio>

#include "alignment/known_photos.h"
#include "pictures/photo_file.h"

namespace boardlore {
namespace {

JsonOut json_of(const AutoReport& report) {
  const Registration& r = report.registration;
  JsonOut json;
  json["model"] = "homography";
  json["board_from_photo"] = r.board_from_photo.rows;
  json["rms_mm"] = r.rms_mm;
  json["leave_one_out_mm"] = r.leave_one_out_mm ? JsonOut(*r.leave_one_out_mm) : JsonOut(nullptr);
  json["mirrored"] = r.mirrored;
  json["px_per_mm"] = r.px_per_mm;
  json["inliers"] = report.inliers;
  json["coverage"] = report.coverage;
  json["confidence"] = report.confidence;
  json["side"] = side_name(report.side);
  json["lens_k1"] = report.lens_k1;
  json["onto"] = report.onto;
  return json;
}

std::string text_of(const AutoReport& report, const std::string& photo) {
  char text[400];
  std::snprintf(text, sizeof text,
                "%s: found on %s (%s side), %d patches over %.0f %% of the board, confidence %.2f\n"
                "residual %.3f mm RMS, %.1f px per mm%s\n",
                photo.c_str(), report.onto.c_str(), std::string(side_name(report.side)).c_str(), report.inliers,
                100 * report.coverage, report.confidence, report.rms_mm, report.registration.px_per_mm,
                report.lens_k1 != 0 ? ", with a lens term" : "");
  std::string all = text;
  if (report.leave_out_mm) {
    std::snprintf(text, sizeof text, "at places left out of the fit: %.3f mm RMS\n", *report.leave_out_mm);
    all += text;
  }
  return all + "Look at the overlay before trusting it.\n";
}

}  // namespace

Result<AutoOutcome> find_own_place(Folder& folder, const Photo& photo, std::optional<Side> wanted_side) {
  const Result<Raster> picture = decode_full(folder.photo_path(photo));
  if (!picture) return picture.problem();
  AutoRequest request;
  request.photo = &*picture;
  request.onto = known_photos(folder.photos(), [&](const Photo& p) { return folder.photo_path(p); }, photo);
  request.board_width_mm = folder.now().layer->board.width_mm;
  request.board_height_mm = folder.now().layer->board.height_mm;
  request.wanted_side = wanted_side;
  request.feature_cache = feature_cache_folder(folder.board_dir());
  AutoOutcome outcome = register_automatically(request);
  const auto* report = std::get_if<AutoReport>(&outcome);
  if (!report) return outcome;
  // A photo added without saying so is taken for the top; what it shows decides.
  std::vector<Edit> edits;
  if (photo.side != report->side) {
    Photo turned = photo;
    turned.side = report->side;
    edits.push_back(PutPhoto{turned});
  }
  edits.push_back(RegisterPhoto{photo.id, report->registration});
  if (const auto done = folder.commit("register " + photo.file, edits); !done) return done.problem();
  return outcome;
}

void run_register_auto(CommandLine& line, Folder& folder, const std::string& photo_name, std::optional<Side> wanted_side) {
  const Result<const Photo*> found = photo_named(folder, photo_name);
  if (failed(line, found)) return;
  const Result<AutoOutcome> outcome = find_own_place(folder, Photo(**found), wanted_side);
  if (failed(line, outcome)) return;
  if (const auto* refusal = std::get_if<AutoRefusal>(&*outcome)) {
    if (line.json)
      print_json({{"refused", refusal_name(refusal->reason)}, {"words", refusal->words}, {"inliers", refusal->inliers},
                  {"confidence", refusal->confidence}});
    return complain(line, {photo_name, "", "a place on the board", refusal->words, Outcome::finding});
  }
  if (failed(line, folder.save())) return;
  const AutoReport& report = std::get<AutoReport>(*outcome);
  if (line.json) print_json(json_of(report));
  else print(text_of(report, photo_name));
}

}  // namespace boardlore
