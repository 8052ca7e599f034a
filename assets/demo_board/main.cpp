// draw_demo_board OUTPUT_FOLDER: draws the demo board's six photos and writes their truth.
#include <turbojpeg.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <memory>

#include "light.h"
#include "paint_bench.h"
#include "paint_bodies.h"
#include "paint_copper.h"
#include "silkscreen.h"
#include "truth.h"

namespace demo_board {
namespace {

using Surface = std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)>;

Surface surface(const Scene& scene, cairo_format_t format) {
  return {cairo_image_surface_create(format, scene.pose.width_px, scene.pose.height_px), cairo_surface_destroy};
}

void shadow_of_board(cairo_surface_t* photo, const Camera& camera, const Scene& scene, Solid light) {
  for (double spread : {1.0, 0.45}) {
    const Surface dark = surface(scene, CAIRO_FORMAT_A8);
    Pen pen(dark.get(), camera);
    Outline line;
    for (Point p : outline_mm()) line.push_back({p.x - light.x * 5 * spread, p.y - light.y * 5 * spread, mat_height_mm});
    pen.fill(line, Ink{0, 0, 0, 1});
    cast_shadow(photo, dark.get(), 22 * spread, 0.42);
  }
}

void shadows_of_parts(cairo_surface_t* photo, const Camera& camera, const Scene& scene, Solid light, const std::vector<Part>& fitted) {
  const Surface dark = surface(scene, CAIRO_FORMAT_A8), close = surface(scene, CAIRO_FORMAT_A8);
  {
    Pen cast(dark.get(), camera), contact(close.get(), camera);
    for (const Part& part : fitted)
      if (part.side == scene.pose.side) {
        paint_shadow(cast, part, light, 0.0);
        paint_shadow(contact, part, {light.x * 0.2, light.y * 0.2, 1.0}, 0.15);
      }
  }
  cast_shadow(photo, dark.get(), 6, 0.46);
  cast_shadow(photo, close.get(), 2, 0.35);
}

std::vector<unsigned char> photograph(const Scene& scene) {
  const Camera camera(scene.pose);
  const Solid light = light_direction(camera, scene.light_from_deg);
  const Side side = scene.pose.side;
  std::vector<Part> fitted = fitted_parts(scene);
  const Surface photo = surface(scene, CAIRO_FORMAT_ARGB32);
  paint_mat(photo.get(), camera, scene);
  shadow_of_board(photo.get(), camera, scene, light);
  {
    Pen pen(photo.get(), camera);
    paint_board_plane(pen, side, light);
    paint_targets(pen, side);
    paint_lands(pen, side, light, static_cast<std::uint64_t>(scene.unit), fitted);
    paint_silkscreen(pen, side);
    paint_stickers(pen, scene);
  }
  texture_board(photo.get(), camera, scene, light);
  {
    Pen pen(photo.get(), camera);
    paint_flux(pen, scene);
    paint_dust(pen, scene);
  }
  shadows_of_parts(photo.get(), camera, scene, light, fitted);
  const Solid eye = camera.eye_mm();
  // Low parts first, then tall ones from the far side to the near.
  const auto away = [&](const Part& p) { return std::hypot(p.at_mm.x - eye.x, p.at_mm.y - eye.y); };
  std::stable_sort(fitted.begin(), fitted.end(), [&](const Part& a, const Part& b) {
    if ((a.height_mm < 3) != (b.height_mm < 3)) return a.height_mm < 3;
    return away(a) > away(b);
  });
  {
    Pen pen(photo.get(), camera);
    for (const Part& part : fitted)
      if (part.side == side) paint_body(pen, part, light, static_cast<std::uint64_t>(scene.unit));
  }
  return expose(photo.get(), scene);
}

bool save(const std::filesystem::path& file, const char* bytes, std::size_t count) {
  std::ofstream out(file, std::ios::binary);
  out.write(bytes, static_cast<std::streamsize>(count));
  out.close();
  if (!out) std::cerr << file.string() << ": cannot be written\n";
  return static_cast<bool>(out);
}

bool save_photo(const std::filesystem::path& file, const Scene& scene) {
  const std::vector<unsigned char> rgb = photograph(scene);
  const tjhandle codec = tjInitCompress();
  unsigned char* bytes = nullptr;
  unsigned long count = 0;
  const int status = tjCompress2(codec, rgb.data(), scene.pose.width_px, 0, scene.pose.height_px, TJPF_RGB, &bytes, &count, TJSAMP_420, 88, TJFLAG_ACCURATEDCT);
  const bool done = status == 0 && save(file, reinterpret_cast<const char*>(bytes), count);
  if (status != 0) std::cerr << file.string() << ": " << tjGetErrorStr2(codec) << "\n";
  tjFree(bytes);
  tjDestroy(codec);
  return done;
}

}  // namespace
}  // namespace demo_board

int main(int argc, char** argv) {
  using namespace demo_board;
  if (argc != 2) {
    std::cerr << "usage: draw_demo_board OUTPUT_FOLDER\n";
    return 2;
  }
  const std::filesystem::path folder = argv[1];
  std::error_code trouble;
  std::filesystem::create_directories(folder / "later-unit", trouble);
  bool done = !trouble;
  if (trouble) std::cerr << folder.string() << ": " << trouble.message() << "\n";
  for (const Scene& scene : scenes()) {
    done = done && save_photo(folder / scene.file, scene);
    const std::string stem = std::filesystem::path(scene.file).stem().string();
    if (stem == "later_before" || stem == "later_after") continue;
    const std::string picks = picked_fiducials_json(scene);
    done = done && save(folder / "later-unit" / ("fiducials_" + stem + ".json"), picks.data(), picks.size());
  }
  const std::string truth = truth_json();
  done = done && save(folder / "later-unit" / "truth.json", truth.data(), truth.size());
  return done ? 0 : 3;
}
