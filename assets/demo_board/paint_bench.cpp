#include "paint_bench.h"

#include <algorithm>
#include <cmath>

#include "dice.h"
#include "footprints.h"
#include "light.h"

namespace demo_board {
namespace {

const Part& part_named(std::string_view refdes) {
  return *std::find_if(parts().begin(), parts().end(), [&](const Part& p) { return p.refdes == refdes; });
}

void sticker(Pen& pen, Point c, double w, double h, bool mirrored, Ink paper) {
  const double s = mirrored ? -1 : 1;
  pen.fill({{c.x - s * w / 2 + 0.12, c.y - h / 2 - 0.12, 0}, {c.x + s * w / 2 + 0.12, c.y - h / 2 - 0.12, 0}, {c.x + s * w / 2 + 0.12, c.y + h / 2 - 0.12, 0}, {c.x - s * w / 2 + 0.12, c.y + h / 2 - 0.12, 0}},
           Ink{0, 0, 0, 0.35});
  pen.fill({{c.x - s * w / 2, c.y - h / 2, 0}, {c.x + s * w / 2, c.y - h / 2, 0}, {c.x + s * w / 2, c.y + h / 2, 0}, {c.x - s * w / 2, c.y + h / 2, 0}}, paper);
}

void bars(Pen& pen, Point from, double width, double height, std::string_view words, double right) {
  Dice dice(seed_of(words, 3));
  for (double x = 0; x < width;) {
    const double bar = 0.18 * (1 + dice.below(3)), gap = 0.18 * (1 + dice.below(3));
    const double x0 = from.x + right * x, x1 = from.x + right * std::min(x + bar, width);
    pen.fill({{x0, from.y, 0}, {x1, from.y, 0}, {x1, from.y + height, 0}, {x0, from.y + height, 0}}, Ink{0.12, 0.12, 0.13, 1});
    x += bar + gap;
  }
}

void serial_label(Pen& pen, Point c, double right, std::string_view serial, Ink paper) {
  sticker(pen, c, 22, 7.6, right < 0, paper);
  bars(pen, {c.x - right * 9.5, c.y - 0.1}, 19, 2.6, serial, right);
  pen.text(serial, {c.x, c.y - 2.0, 0}, {right, 0}, {0, 1}, 1.5, 0.22, Ink{0.12, 0.12, 0.13, 1});
}

}  // namespace

void paint_mat(cairo_surface_t* photo, const Camera& camera, const Scene& scene) {
  unsigned char* data = cairo_image_surface_get_data(photo);
  const int stride = cairo_image_surface_get_stride(photo);
  const double lean = 0.11 + 0.05 * static_cast<double>(scene.seed % 5);  // the board never lies square on the mat
  const double c = std::cos(lean), s = std::sin(lean);
  for (int y = 0; y < camera.pose().height_px; ++y)
    for (int x = 0; x < camera.pose().width_px; ++x) {
      const Point b = camera.board_mm({x + 0.5, y + 0.5}, mat_height_mm);
      const double u = c * b.x - s * b.y + 3.0, v = s * b.x + c * b.y + 1.5;
      const double to_line = std::min(std::abs(std::remainder(u, 20.0)), std::abs(std::remainder(v, 20.0)));
      const double print = std::clamp((0.22 - to_line) / 0.08 + 0.5, 0.0, 1.0) * 0.75;
      const double grain = smooth_noise(u * 2.6, v * 2.6, 5) * 0.07 + smooth_noise(u * 0.35, v * 0.35, 6) * 0.04 + smooth_noise(u * 7, v * 7, 7) * 0.09;
      const double base[3] = {0.300, 0.325, 0.345}, ink[3] = {0.40, 0.425, 0.44};
      for (int k = 0; k < 3; ++k) {
        const double value = (base[k] + (ink[k] - base[k]) * print) * (1.0 + grain);
        data[y * stride + x * 4 + 2 - k] = static_cast<unsigned char>(std::clamp(value * 255.0, 0.0, 255.0));
      }
      data[y * stride + x * 4 + 3] = 255;
    }
  cairo_surface_mark_dirty(photo);
}

void paint_stickers(Pen& pen, const Scene& scene) {
  const bool later = scene.unit == 2;
  const Ink white{0.90, 0.90, 0.87, 1}, yellow{0.90, 0.78, 0.28, 1};
  if (scene.pose.side == Side::top) {
    serial_label(pen, {118, 39.2}, 1, later ? "SN 0931-4477" : "SN 0817-2206", white);
    if (later) {
      pen.fill(circle_at({104, 43.5}, 3.4), Ink{0.20, 0.55, 0.30, 1});
      pen.text("QC 4", {104, 43.5, 0}, {1, 0}, {0, 1}, 1.6, 0.24, Ink{0.95, 0.95, 0.9, 1});
    }
  } else {
    serial_label(pen, {60, 17}, -1, later ? "SN 0931-4477" : "SN 0817-2206", later ? white : yellow);
    if (later) {
      sticker(pen, {128, 55}, 15, 7, true, yellow);
      pen.text("TESTED", {128, 56.4, 0}, {-1, 0}, {0, 1}, 1.7, 0.24, Ink{0.15, 0.12, 0.05, 1});
      pen.text("WK 36 BAY 2", {128, 53.6, 0}, {-1, 0}, {0, 1}, 1.3, 0.2, Ink{0.15, 0.12, 0.05, 1});
    }
  }
}

void paint_flux(Pen& pen, const Scene& scene) {
  if (scene.unit != 2) return;
  Dice dice(77);  // the same residue in every photo of this unit
  const auto haze = [&](Point c, double radius, Ink ink, int spots) {
    for (int i = 0; i < spots; ++i) {
      const Point at{c.x + radius * dice.bell() * 0.5, c.y + radius * dice.bell() * 0.5};
      const double r = radius * dice.between(0.25, 0.6);
      Ink rim = ink;
      rim.a = 0;
      pen.fill_glow(circle_at(at, r), {at.x, at.y, 0}, r, ink, rim);
    }
  };
  if (scene.pose.side == Side::top) {
    haze({17, 72}, 7, Ink{0.75, 0.76, 0.66, 0.06}, 14);
    haze({60, 30}, 8, Ink{0.75, 0.76, 0.66, 0.05}, 12);
  } else {
    haze({88, 46}, 9, Ink{0.75, 0.76, 0.66, 0.06}, 14);
  }
  if (!scene.reworked) return;
  const Part& chip = part_named(turned_refdes);
  const Part& gone = part_named(missing_refdes);
  haze({chip.at_mm.x + 0.8, chip.at_mm.y}, 4.2, Ink{0.62, 0.46, 0.18, 0.11}, 26);
  haze(gone.at_mm, 2.0, Ink{0.66, 0.48, 0.18, 0.15}, 12);
  for (int i = 0; i < 46; ++i) {  // dried droplets with a bright edge
    const Point at{chip.at_mm.x + 1 + 3.4 * dice.bell(), chip.at_mm.y + 3.0 * dice.bell()};
    const double r = dice.between(0.06, 0.2);
    pen.fill_glow(circle_at(at, r, 0, 12), {at.x, at.y, 0}, r, Ink{0.60, 0.45, 0.2, 0.2}, Ink{0.85, 0.74, 0.45, 0.45});
  }
}

void paint_dust(Pen& pen, const Scene& scene) {
  Dice dice(static_cast<std::uint64_t>(scene.unit) * 131 + (scene.pose.side == Side::bottom ? 1 : 0));
  for (int i = 0; i < 150; ++i) {
    const Point at{dice.between(2, board_width_mm - 8), dice.between(2, board_height_mm - 2)};
    pen.fill(circle_at(at, dice.between(0.03, 0.09), 0.05, 7), Ink{0.85, 0.85, 0.80, dice.between(0.15, 0.5)});
  }
  for (int i = 0; i < 7; ++i) {  // fibres
    Point at{dice.between(15, board_width_mm - 20), dice.between(14, board_height_mm - 8)};
    double heading = dice.between(0, 6.28);
    Outline fibre;
    for (int k = 0; k < 10; ++k) {
      fibre.push_back({at.x, at.y, 0.1});
      heading += dice.between(-0.6, 0.6);
      at = {at.x + 0.25 * std::cos(heading), at.y + 0.25 * std::sin(heading)};
    }
    pen.line(fibre, 0.05, Ink{0.80, 0.80, 0.78, 0.4});
  }
}

}  // namespace demo_board
