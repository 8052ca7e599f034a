// boardlore sharpness: where a photo is sharp, before the unit leaves the bench and it can't be taken again.
#include <algorithm>

#include "alignment/mosaic.h"
#include "commands/command_support.h"
#include "pictures/encode.h"
#include "pictures/photo_file.h"

namespace boardlore {
namespace {

struct Sharpness {
  std::string dir, photo, out;
  int cell_px = 32;
};

// The photo as it is where it is sharp, towards blue where it is not.
Raster tinted(Raster photo, const SharpnessMap& map, double sharp_from) {
  for (int y = 0; y < photo.height_px; ++y)
    for (int x = 0; x < photo.width_px; ++x) {
      const float value = map.values[static_cast<std::size_t>(y / map.cell_px * map.columns + x / map.cell_px)];
      const double keep = std::clamp(value / std::max(sharp_from, 1e-6), 0.0, 1.0);
      std::uint8_t* pixel = photo.pixel(x, y);
      constexpr std::uint8_t blue[3] = {0, 60, 130};
      for (int c = 0; c < 3; ++c) pixel[c] = static_cast<std::uint8_t>(keep * pixel[c] + (1 - keep) * (0.35 * pixel[c] + 0.65 * blue[c]));
    }
  return photo;
}

void run_sharpness(CommandLine& line, const Sharpness& given) {
  const Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<const Photo*> photo = photo_named(*folder, given.photo);
  if (failed(line, photo)) return;
  Result<Raster> picture = decode_full(folder->photo_path(**photo));
  if (failed(line, picture)) return;
  const SharpnessMap map = sharpness_map(*picture, given.cell_px);
  if (map.values.empty()) return complain(line, {given.photo, "", "a photo larger than one cell", "less"});
  const double sharp_from = usual_sharpness(map);
  const auto sharp = std::count_if(map.values.begin(), map.values.end(), [&](float v) { return v >= sharp_from; });
  const double share = static_cast<double>(sharp) / static_cast<double>(map.values.size());
  if (!given.out.empty()) {
    const Raster seen = tinted(std::move(*picture), map, sharp_from);
    const bool png = given.out.size() > 4 && given.out.substr(given.out.size() - 4) == ".png";
    if (failed(line, png ? write_png(given.out, seen) : write_jpeg(given.out, seen, 90))) return;
  }
  if (line.json)
    return print_json({{"cell_px", map.cell_px}, {"columns", map.columns}, {"rows", map.rows}, {"sharp_share", share}, {"values", map.values}});
  print(given.photo + ": " + std::to_string(static_cast<int>(100 * share + 0.5)) +
        " % of it is at least half as sharp as its sharpest tenth; even surfaces count as not sharp\n");
}

}  // namespace

void add_sharpness_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("sharpness", "Say where a photo is sharp");
  const auto given = std::make_shared<Sharpness>();
  app->add_option("DIR", given->dir, "board or job folder")->required();
  app->add_option("PHOTO", given->photo, "a photo of that folder, by name")->required();
  app->add_option("-o,--out", given->out, "picture to write: blue where it is not sharp; .jpg or .png");
  app->add_option("--cell", given->cell_px, "side of a cell in photo pixels")->check(CLI::Range(4, 1000));
  app->add_flag("--json", line.json, "one JSON document on stdout, one value a cell");
  app->callback([&line, given] { run_sharpness(line, *given); });
}

}  // namespace boardlore
