// boardlore draw: the photo with its overlay, as a PNG.
#include "commands/command_support.h"
#include "overlay/canvas_cairo.h"
#include "overlay/close_up.h"
#include "pictures/encode.h"
#include "pictures/photo_file.h"

namespace boardlore {
namespace {

struct Draw {
  std::string dir, photo, out, close_up;
  std::vector<std::string> select;
  bool fiducials = false, no_labels = false;
};

void run_draw(CommandLine& line, const Draw& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<const Photo*> photo = photo_named(*folder, given.photo);
  if (failed(line, photo)) return;
  const Result<PhotoMap> map = map_of(**photo);
  if (failed(line, map)) return;
  OverlayOptions options;
  options.fiducials = given.fiducials;
  if (given.no_labels) options.labels = LabelDensity::none;
  for (const std::string& refdes : given.select) {
    const Result<MarkPtr> mark = mark_named(*folder, refdes);
    if (failed(line, mark)) return;
    options.selected.insert((*mark)->id);
  }
  Result<Raster> raster = decode_full(folder->photo_path(**photo));
  if (failed(line, raster)) return;
  if (!given.close_up.empty()) {
    const Result<MarkPtr> mark = mark_named(*folder, given.close_up);
    if (failed(line, mark)) return;
    if ((*mark)->side != (*photo)->side) {
      complain(line, Problem{given.photo, "--close-up", "a mark of the photo's side, " + std::string(side_name((*photo)->side)), given.close_up + " on the other"});
      return;
    }
    const Result<Raster> cut = close_up(*raster, *map, shapes_of(folder->now().layer->marks, (*photo)->side), **mark);
    if (failed(line, cut) || failed(line, write_png(given.out, *cut))) return;
    if (line.json) print_json({{"file", given.out}, {"width_px", cut->width_px}, {"height_px", cut->height_px}, {"refdes", (*mark)->refdes}});
    else print(given.out + ": " + given.close_up + " on " + (*photo)->file + "\n");
    return;
  }
  // Symbols grow with the picture, so the level of detail is judged as the picture is seen whole.
  options.zoom = 1 / picture_line_scale(raster->width_px, raster->height_px);
  options.visible = PhotoRect{0, 0, static_cast<double>(raster->width_px), static_cast<double>(raster->height_px)};
  const BoardShapes shapes = shapes_of(folder->now().layer->marks, (*photo)->side);
  OverlayScene scene = overlay_scene(shapes, *map, options);
  add_fiducials(scene, *(*photo)->registration, *map, options);
  if (failed(line, draw_scene_on(*raster, scene))) return;
  if (failed(line, write_png(given.out, *raster))) return;
  std::set<Id> drawn;
  for (const Stroke& stroke : scene.strokes)
    if (stroke.mark) drawn.insert(stroke.mark->id);
  for (const Dot& dot : scene.dots)
    if (dot.mark) drawn.insert(dot.mark->id);
  if (line.json)
    print_json({{"file", given.out},
                {"width_px", raster->width_px},
                {"height_px", raster->height_px},
                {"side", std::string(side_name((*photo)->side))},
                {"marks_drawn", drawn.size()},
                {"marks_on_side", shapes.shapes.size()}});
  else
    print(given.out + ": " + (*photo)->file + " with " + std::to_string(drawn.size()) + " of " +
          std::to_string(shapes.shapes.size()) + " marks of the " + std::string(side_name((*photo)->side)) + " side\n");
}

}  // namespace

void add_draw_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("draw", "Write a photo with its overlay as a PNG");
  const auto given = std::make_shared<Draw>();
  app->add_option("DIR", given->dir, "board or job folder")->required();
  app->add_option("--photo", given->photo, "a registered photo of that folder")->required();
  app->add_option("-o,--out", given->out, "the PNG to write")->required();
  app->add_option("--select", given->select, "designators drawn as chosen, with their pins");
  app->add_option("--close-up", given->close_up, "only this designator, cut out of the photo with what stands around it");
  app->add_flag("--fiducials", given->fiducials, "with the fiducials and their residuals, drawn 20 times as long");
  app->add_flag("--no-labels", given->no_labels, "shapes only");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_draw(line, *given); });
}

}  // namespace boardlore
