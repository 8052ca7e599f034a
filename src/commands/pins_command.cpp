// boardlore pins: where every pin of a part lies, on the board and in a photo.
#include <cstdio>

#include "commands/command_support.h"
#include "geometry/pins.h"

namespace boardlore {
namespace {

struct Pins {
  std::string dir, refdes, side, photo;
};

void run_pins(CommandLine& line, const Pins& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<MarkPtr> mark = mark_named(*folder, given.refdes);
  if (failed(line, mark)) return;
  const Result<std::vector<Pin>> pins = pins_of(**mark);
  if (failed(line, pins)) return;
  if (pins->empty()) return complain(line, Problem{given.dir, given.refdes, "a part with a package (boardlore part set)", "none", Outcome::finding});
  std::optional<PhotoMap> map;
  if (!given.photo.empty()) {
    const Result<const Photo*> photo = photo_named(*folder, given.photo);
    if (failed(line, photo)) return;
    Result<PhotoMap> found = map_of(**photo);
    if (failed(line, found)) return;
    map = std::move(*found);
  }
  const bool from_below = (given.side.empty() ? (*mark)->side : *parse_side(given.side)) == Side::bottom;
  JsonOut json = JsonOut::array();
  std::string text;
  for (const Pin& pin : *pins) {
    // As seen from that side, from the part's centre: x runs right for the eye.
    const BoardPoint seen{(from_below ? -1 : 1) * (pin.at.x_mm - (*mark)->at.x_mm), pin.at.y_mm - (*mark)->at.y_mm};
    const auto px = map ? map->photo_from(pin.at) : std::nullopt;
    JsonOut one{{"pin", pin.name}, {"board_mm", json_point(pin.at)}, {"seen_mm", json_point(seen)}};
    if (map) one["photo_px"] = px ? json_point(*px) : JsonOut(nullptr);
    json.push_back(std::move(one));
    char row[160];
    std::snprintf(row, sizeof row, "%-5s board %8.3f %8.3f mm   seen from the %s %+7.3f %+7.3f mm", pin.name.c_str(), pin.at.x_mm, pin.at.y_mm,
                  from_below ? "bottom" : "top", seen.x_mm, seen.y_mm);
    text += row;
    if (px) std::snprintf(row, sizeof row, "   photo %8.1f %8.1f px", px->x_px, px->y_px), text += row;
    text += '\n';
  }
  line.json ? print_json(json) : print(text);
}

}  // namespace

void add_pins_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("pins", "Where every pin of a part lies");
  const auto given = std::make_shared<Pins>();
  app->add_option("DIR", given->dir, "board or job folder")->required();
  app->add_option("REFDES", given->refdes, "designator (or a mark's id)")->required();
  app->add_option("--side", given->side, "seen from this side (default: the part's own)")->check(CLI::IsMember({"top", "bottom"}));
  app->add_option("--photo", given->photo, "also give pixels of this registered photo");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_pins(line, *given); });
}

}  // namespace boardlore
