// boardlore cover: a region of a board's reference photo covered in the pixels, before it is shared.
#include <cmath>

#include "commands/command_support.h"
#include "exchange/cover_photo.h"

namespace boardlore {
namespace {

struct Cover {
  std::string dir, photo;
  std::vector<std::string> regions;
};

// Rounded outwards: a pixel that is half in is covered.
Result<PixelRect> rect_of(const std::string& text) {
  const Result<std::vector<double>> n = numbers(text, 4, "--region");
  if (!n) return n.problem();
  for (const double v : *n)
    if (!(v >= -1e6 && v <= 1e6)) return Problem{"", "--region", "X,Y,WIDTH,HEIGHT in photo pixels", "\"" + text + "\""};
  const auto down = [](double v) { return static_cast<int>(std::floor(v)); };
  const auto up = [](double v) { return static_cast<int>(std::ceil(v)); };
  return PixelRect{down((*n)[0]), down((*n)[1]), up((*n)[0] + (*n)[2]), up((*n)[1] + (*n)[3])};
}

void run_cover(CommandLine& line, const Cover& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<const Photo*> photo = photo_named(*folder, given.photo);
  if (failed(line, photo)) return;
  std::vector<PixelRect> rects;
  for (const std::string& region : given.regions) {
    const Result<PixelRect> rect = rect_of(region);
    if (failed(line, rect)) return;
    rects.push_back(*rect);
  }
  const Result<Photo> covered = cover_photo(*folder, (*photo)->id, rects);
  if (failed(line, covered) || failed(line, folder->save())) return;
  if (line.json) print_json({{"file", covered->file}, {"sha256", covered->sha256}, {"regions", rects.size()}});
  else print("covered in " + covered->file + "; the photo as it was lies in " + std::string(uncovered_folder) + " and is never exported\n");
}

}  // namespace

void add_cover_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("cover", "Cover a region of a board's reference photo in the pixels, before it is shared");
  const auto given = std::make_shared<Cover>();
  app->add_option("DIR", given->dir, "board folder")->required();
  app->add_option("PHOTO", given->photo, "its file name")->required();
  app->add_option("--region", given->regions, "X,Y,WIDTH,HEIGHT in photo pixels; again for more")->required();
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_cover(line, *given); });
}

}  // namespace boardlore
