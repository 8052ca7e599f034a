// boardlore locate: from a designator to the place in a photo, or from a pixel to the place on the board.
#include <cstdio>
#include <limits>

#include "commands/command_support.h"
#include "editing/mark_rules.h"

namespace boardlore {
namespace {

struct Locate {
  std::string dir, refdes, photo, px;
};

void locate_mark(CommandLine& line, const Folder& folder, const Photo& photo, const PhotoMap& map, const std::string& refdes) {
  const Result<MarkPtr> mark = mark_named(folder, refdes);
  if (failed(line, mark)) return;
  const auto place = map.photo_from((*mark)->at);
  if (!place) return complain(line, Problem{photo.file, refdes, "a place this photo can show", "beyond its horizon", Outcome::finding});
  const double error_px = (map.error_mm((*mark)->at) + (*mark)->place_error_mm) * map.px_per_mm((*mark)->at);
  const bool inside = place->x_px >= 0 && place->y_px >= 0 && place->x_px <= photo.width_px && place->y_px <= photo.height_px;
  const bool other_side = (*mark)->side != photo.side;
  if (line.json) {
    print_json({{"photo_px", json_point(*place)}, {"error_px", error_px}, {"inside", inside}, {"other_side", other_side}});
    return;
  }
  char text[200];
  std::snprintf(text, sizeof text, "%s in %s: %.1f, %.1f px, within %.1f px%s%s\n", spoken_name(**mark).c_str(), photo.file.c_str(), place->x_px,
                place->y_px, error_px, inside ? "" : " (outside the picture)", other_side ? " (on the other side of the board)" : "");
  print(text);
}

void locate_pixel(CommandLine& line, const Folder& folder, const Photo& photo, const PhotoMap& map, PhotoPoint px) {
  const auto place = map.board_from(px);
  if (!place) return complain(line, Problem{photo.file, "--px", "a pixel that shows the board's plane", "one beyond its horizon", Outcome::finding});
  MarkPtr nearest;
  double distance = std::numeric_limits<double>::infinity();
  folder.now().layer->marks.each([&](const MarkPtr& mark) {
    if (mark->side != photo.side || mark->refdes.empty()) return;
    if (const double d = distance_mm(mark->at, *place); d < distance) distance = d, nearest = mark;
  });
  if (line.json) {
    JsonOut json{{"board_mm", json_point(*place)}, {"error_mm", map.error_mm(*place)}, {"nearest", nullptr}};
    if (nearest) json["nearest"] = {{"refdes", nearest->refdes}, {"distance_mm", distance}};
    return print_json(json);
  }
  char text[200];
  std::snprintf(text, sizeof text, "%.2f, %.2f mm on the %s, within %.2f mm\n", place->x_mm, place->y_mm, std::string(side_name(photo.side)).c_str(), map.error_mm(*place));
  print(text);
  if (nearest) {
    std::snprintf(text, sizeof text, "nearest: %s, %.2f mm away\n", nearest->refdes.c_str(), distance);
    print(text);
  }
}

void run_locate(CommandLine& line, const Locate& given) {
  if (given.refdes.empty() == given.px.empty())
    return complain(line, Problem{"", "REFDES", "a designator or --px X,Y", given.px.empty() ? "neither" : "both"});
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<const Photo*> photo = photo_named(*folder, given.photo);
  if (failed(line, photo)) return;
  const Result<PhotoMap> map = map_of(**photo);
  if (failed(line, map)) return;
  if (given.px.empty()) return locate_mark(line, *folder, **photo, *map, given.refdes);
  const auto px = numbers(given.px, 2, "--px");
  if (failed(line, px)) return;
  locate_pixel(line, *folder, **photo, *map, PhotoPoint{(*px)[0], (*px)[1]});
}

}  // namespace

void add_locate_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("locate", "Where a mark is in a photo, or what a pixel of it shows");
  const auto given = std::make_shared<Locate>();
  app->add_option("DIR", given->dir, "board or job folder")->required();
  app->add_option("REFDES", given->refdes, "designator (or a mark's id)");
  app->add_option("--photo", given->photo, "a registered photo of that folder")->required();
  app->add_option("--px", given->px, "X,Y: a place in the photo");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_locate(line, *given); });
}

}  // namespace boardlore
