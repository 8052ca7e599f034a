// boardlore mosaic: one large picture of a side from all its registered photos; the sharper one wins.
#include "alignment/mosaic.h"

#include <algorithm>
#include <cstdio>

#include "commands/command_support.h"
#include "pictures/encode.h"
#include "pictures/photo_file.h"

namespace boardlore {
namespace {

struct MosaicWanted {
  std::string dir, out, side = "top";
  double px_per_mm = 0;
};

void run_mosaic(CommandLine& line, const MosaicWanted& given) {
  const Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Board& board = folder->now().layer->board;
  if (!board.width_mm || !board.height_mm)
    return complain(line, {given.dir, "/board/width_mm", "a board with its size in mm", "none", Outcome::finding});
  const Side side = *parse_side(given.side);
  const BoardRect whole{0, 0, *board.width_mm, *board.height_mm};
  std::vector<JoinPhoto> candidates;
  for (const Photo* photo : folder->photos()) {
    const auto of_job = [&](const std::vector<Photo>& own) { return std::any_of(own.begin(), own.end(), [&](const Photo& p) { return p.id == photo->id; }); };
    candidates.push_back({photo, folder->is_job() && of_job(folder->now().job->photos)});
  }
  const std::vector<const Photo*> photos = photos_to_join(candidates, folder->is_job(), side);
  if (photos.empty())
    return complain(line, {given.dir, "", "a registered photo of the " + given.side, "none", Outcome::finding});
  std::vector<MosaicSource> sources;
  for (const Photo* photo : photos) sources.push_back({[path = folder->photo_path(*photo)] { return decode_full(path); }, *photo->registration});
  const double px_per_mm = given.px_per_mm > 0 ? given.px_per_mm : joined_px_per_mm(photos, whole);
  const Result<Mosaic> mosaic = join_photos(sources, whole, px_per_mm, side);
  if (failed(line, mosaic)) return;
  const bool png = given.out.size() > 4 && given.out.substr(given.out.size() - 4) == ".png";
  if (failed(line, png ? write_png(given.out, mosaic->picture) : write_jpeg(given.out, mosaic->picture, 92))) return;
  if (line.json) {
    JsonOut shares = JsonOut::array();
    for (std::size_t i = 0; i < photos.size(); ++i) shares.push_back({{"photo", photos[i]->file}, {"share", mosaic->shares[i]}});
    print_json({{"file", given.out}, {"width_px", mosaic->picture.width_px}, {"height_px", mosaic->picture.height_px},
                {"px_per_mm", px_per_mm}, {"covered", mosaic->covered}, {"sources", shares}});
    return;
  }
  char text[300];
  std::snprintf(text, sizeof text, "%d x %d px from %zu photos, %.0f %% of the board shown\n", mosaic->picture.width_px,
                mosaic->picture.height_px, sources.size(), 100 * mosaic->covered);
  print(given.out + ": " + text);
}

}  // namespace

void add_mosaic_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("mosaic", "Join registered photos into one picture of the board");
  const auto given = std::make_shared<MosaicWanted>();
  app->add_option("DIR", given->dir, "board or job folder")->required();
  app->add_option("-o,--out", given->out, "picture to write: .jpg or .png")->required();
  app->add_option("--side", given->side, "side to join")->check(CLI::IsMember({"top", "bottom"}));
  app->add_option("--px-per-mm", given->px_per_mm, "pixels a millimetre; without: as fine as the finest photo")->check(CLI::Range(0.1, 1000.0));
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_mosaic(line, *given); });
}

}  // namespace boardlore
