// boardlore straighten: the board seen square-on, from one registered photo.
#include "alignment/straighten.h"

#include "commands/command_support.h"
#include "pictures/encode.h"
#include "pictures/photo_file.h"

namespace boardlore {
namespace {

struct Straighten {
  std::string dir, photo, out;
  double px_per_mm = 0;
};

void run_straighten(CommandLine& line, const Straighten& given) {
  const Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<const Photo*> photo = photo_named(*folder, given.photo);
  if (failed(line, photo) || failed(line, map_of(**photo))) return;
  const Board& board = folder->now().layer->board;
  if (!board.width_mm || !board.height_mm)
    return complain(line, {given.dir, "/board/width_mm", "a board with its size in mm", "none", Outcome::finding});
  const Result<Raster> picture = decode_full(folder->photo_path(**photo));
  if (failed(line, picture)) return;
  const BoardRect whole{0, 0, *board.width_mm, *board.height_mm};
  double px_per_mm = given.px_per_mm;
  if (px_per_mm <= 0)
    px_per_mm = std::min(natural_px_per_mm(*picture, *(*photo)->registration, whole),
                         std::sqrt(most_straight_pixels / 2 / (whole.width_mm * whole.height_mm)));
  const Result<Raster> straight = straightened(*picture, *(*photo)->registration, whole, px_per_mm, (*photo)->side);
  if (failed(line, straight)) return;
  const bool png = given.out.size() > 4 && given.out.substr(given.out.size() - 4) == ".png";
  if (failed(line, png ? write_png(given.out, *straight) : write_jpeg(given.out, *straight, 92))) return;
  if (line.json)
    print_json({{"width_px", straight->width_px}, {"height_px", straight->height_px}, {"px_per_mm", px_per_mm}, {"file", given.out}});
  else
    print(given.out + ": " + std::to_string(straight->width_px) + " x " + std::to_string(straight->height_px) + " px\n");
}

}  // namespace

void add_straighten_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("straighten", "Write the board seen square-on, from a registered photo");
  const auto given = std::make_shared<Straighten>();
  app->add_option("DIR", given->dir, "board or job folder")->required();
  app->add_option("PHOTO", given->photo, "a registered photo of that folder")->required();
  app->add_option("-o,--out", given->out, "picture to write: .jpg or .png")->required();
  app->add_option("--px-per-mm", given->px_per_mm, "pixels a millimetre; without: as fine as the photo")->check(CLI::Range(0.1, 1000.0));
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_straighten(line, *given); });
}

}  // namespace boardlore
