#include <algorithm>
#include <cmath>

#include "footprints.h"
#include "paint_bodies.h"

namespace demo_board {
namespace {

constexpr Ink metal{0.60, 0.605, 0.60, 1};

void paint_electrolytic(BodyPainter& b) {
  const Part& p = b.part;
  const double s = p.length_mm, r = (s - 0.5) / 2, h = p.height_mm;
  for (double e : {-1.0, 1.0}) b.fillet({e * s * 0.42, 0}, {e * (p.pitch_mm / 2 + 1.7), 0}, 1.0, 0.25);
  b.box({0, 0}, s, s, 0.1, 1.2, Ink{0.12, 0.12, 0.13, 1}, 0.15);
  b.cylinder({0, 0}, r, 1.2, h - 0.25, Ink{0.62, 0.63, 0.65, 1}, 64);
  b.cylinder({0, 0}, r - 0.22, h - 0.25, h, Ink{0.68, 0.69, 0.70, 1}, 64);
  std::vector<Solid> segment;
  for (int i = 0; i <= 16; ++i) {
    const double a = (-52.0 + 104.0 * i / 16) * 3.14159265 / 180;
    segment.push_back({(r - 0.3) * std::cos(a), (r - 0.3) * std::sin(a), h});
  }
  b.face(segment, Ink{0.09, 0.09, 0.12, 0.93});
  const std::size_t cut = p.marking.find(' ');
  b.words(p.marking.substr(0, cut), {-r * 0.18, r * 0.28}, r * 0.36, h, Ink{0.12, 0.12, 0.15, 0.95});
  b.words(p.marking.substr(cut + 1), {-r * 0.18, -r * 0.32}, r * 0.32, h, Ink{0.12, 0.12, 0.15, 0.95});
}

void paint_terminal(BodyPainter& b) {
  const Part& p = b.part;
  const Ink green{0.13, 0.50, 0.30, 1};
  const double h = p.height_mm;
  b.box({0, 0}, p.length_mm, p.width_mm, 0, 4.5, green, 0.3);
  b.box({0, 0.7}, p.length_mm, p.width_mm - 1.4, 4.5, h, green, 0.35);
  for (const Land& l : lands(p)) {
    const Solid c = b.at(l.at.x, 0.6, h);
    const double r = 1.75;
    b.pen.fill(circle_at({c.x, c.y}, r + 0.25, h), shade(green, 0.35));
    b.pen.fill_glow(circle_at({c.x, c.y}, r, h - 0.6), {c.x + b.light.x * 0.7, c.y + b.light.y * 0.7, h - 0.6}, 2.6, Ink{0.88, 0.87, 0.84, 1},
                    Ink{0.36, 0.36, 0.36, 1});
    const double a = b.dice.between(0, 3.14159);
    const Solid e0{c.x - r * 0.85 * std::cos(a), c.y - r * 0.85 * std::sin(a), h - 0.6}, e1{c.x + r * 0.85 * std::cos(a), c.y + r * 0.85 * std::sin(a), h - 0.6};
    b.pen.line({e0, e1}, 0.62, Ink{0.13, 0.13, 0.13, 1});
    b.pen.line({{e0.x + b.light.x * -0.25, e0.y + b.light.y * -0.25, h - 0.6}, {e1.x + b.light.x * -0.25, e1.y + b.light.y * -0.25, h - 0.6}}, 0.1, Ink{0.9, 0.9, 0.88, 0.8});
    if (l.pin > 1) {
      const double x = l.at.x - p.pitch_mm / 2;
      b.face({{x - 0.08, -p.width_mm / 2 + 1.9, h}, {x + 0.08, -p.width_mm / 2 + 1.9, h}, {x + 0.08, p.width_mm / 2 - 0.4, h}, {x - 0.08, p.width_mm / 2 - 0.4, h}}, shade(green, 0.5));
    }
    // Wire entry, on the ledge.
    b.face({{l.at.x - 1.6, -p.width_mm / 2 + 0.25, 4.5}, {l.at.x + 1.6, -p.width_mm / 2 + 0.25, 4.5}, {l.at.x + 1.6, -p.width_mm / 2 + 1.2, 4.5}, {l.at.x - 1.6, -p.width_mm / 2 + 1.2, 4.5}},
           shade(green, 0.30));
  }
}

void paint_header(BodyPainter& b) {
  const Part& p = b.part;
  const bool wall = p.family == Family::shrouded_header, pale = wall && p.span_mm == 0;
  const Ink plastic = pale ? Ink{0.77, 0.75, 0.67, 1} : Ink{0.13, 0.13, 0.135, 1};
  const double hx = p.length_mm / 2, hy = p.width_mm / 2, h = p.height_mm;
  if (!wall) b.box({0, 0}, p.length_mm, p.width_mm, 0, 2.5, plastic, 0.25);
  if (wall) {
    const double t = 1.0;
    b.box({0, 0}, p.length_mm, p.width_mm, 0, h, plastic, 0.15);
    // The well: floor seen through the mouth, with the inner walls the light does and does not reach.
    b.face({{-hx + t, -hy + t, h}, {hx - t, -hy + t, h}, {hx - t, hy - t, h}, {-hx + t, hy - t, h}}, shade(plastic, pale ? 0.6 : 0.5));
    const double fx = hx - t - 0.25, fy = hy - t - 0.25;
    b.sheen({{-fx, -fy, h - 1.5}, {fx, -fy, h - 1.5}, {fx, fy, h - 1.5}, {-fx, fy, h - 1.5}}, shade(plastic, pale ? 0.78 : 0.75), 0.2);
    const double key = pale ? p.length_mm * 0.3 : 2.2;
    b.face({{-key, -hy - 0.02, h}, {key, -hy - 0.02, h}, {key, -hy + t + 0.1, h}, {-key, -hy + t + 0.1, h}}, shade(plastic, 0.62));
  }
  for (const Land& l : lands(p)) {
    const double low = wall ? h - 1.5 : 2.5, high = wall ? h - 0.4 : h;
    b.box(l.at, 0.64, 0.64, low, high, Ink{0.84, 0.72, 0.40, 1}, 0.16);
  }
}

void paint_cell_holder(BodyPainter& b) {
  const Part& p = b.part;
  for (double s : {-1.0, 1.0}) b.box({s * 12.3, 0}, 3.4, 4.0, 0.0, 0.6, metal, 0.1);
  b.box({0, 0}, p.length_mm, p.width_mm, 0.1, 3.0, Ink{0.11, 0.11, 0.12, 1}, 0.4);
  b.cylinder({0, 0}, 10.25, 3.0, 3.2, Ink{0.16, 0.16, 0.165, 1}, 72);
  b.cylinder({0, 0}, 10.0, 1.5, 4.6, Ink{0.57, 0.57, 0.56, 1}, 90);
  b.cylinder({0, 0}, 9.3, 4.6, 4.7, Ink{0.67, 0.67, 0.655, 1}, 90);
  const Solid c = b.at(0, 0, 4.7);
  // Turned metal: light spreads in a fan either side of the lamp.
  for (int i = 0; i < 40; ++i) {
    const double a = std::atan2(b.light.y, b.light.x) + (i % 2 == 0 ? 0.0 : 3.14159) + b.dice.between(-0.55, 0.55);
    b.pen.fill({{c.x, c.y, 4.7}, {c.x + 9 * std::cos(a - 0.035), c.y + 9 * std::sin(a - 0.035), 4.7}, {c.x + 9 * std::cos(a + 0.035), c.y + 9 * std::sin(a + 0.035), 4.7}},
               Ink{1, 1, 1, 0.055});
  }
  const Ink etched{0.36, 0.36, 0.36, 0.9};
  b.words("+", {0, 4.9}, 2.8, 4.7, etched);
  b.words("LITHIUM CELL", {0, 1.2}, 1.25, 4.7, etched);
  b.words("20 MM 3V", {0, -1.4}, 1.4, 4.7, etched);
  for (double s : {-1.0, 1.0}) b.box({s * 9.7, 0}, 3.2, 5.4, 4.7, 5.2, Ink{0.63, 0.625, 0.60, 1}, 0.2);
}

void paint_inductor(BodyPainter& b) {
  const Part& p = b.part;
  const double h = p.height_mm, s = p.length_mm;
  for (double e : {-1.0, 1.0}) b.fillet({e * s * 0.47, 0}, {e * (p.pitch_mm / 2 + s * 0.17), 0}, s * 0.5, h * 0.3);
  b.box({0, 0}, s, p.width_mm, 0.1, h, Ink{0.225, 0.225, 0.23, 1}, 0.35);
  const Solid c = b.at(0, 0, h);
  b.pen.fill_glow(circle_at({c.x, c.y}, s * 0.40, h), {c.x + b.light.x * s * 0.2, c.y + b.light.y * s * 0.2, h}, s * 0.55, Ink{0.36, 0.36, 0.36, 1}, Ink{0.17, 0.17, 0.175, 1});
  b.words(p.marking, {0, 0}, s * 0.21, h, Ink{0.80, 0.80, 0.76, 0.9});
}

void paint_fuse(BodyPainter& b) {
  const Part& p = b.part;
  const double hx = p.length_mm / 2, cap = 1.3, h = p.height_mm;
  for (double s : {-1.0, 1.0}) b.fillet({s * hx, 0}, {s * (p.pitch_mm / 2 + 1.1), 0}, p.width_mm, h * 0.5);
  b.box({0, 0}, p.length_mm - 2 * cap, p.width_mm * 0.94, 0.1, h * 0.96, Ink{0.76, 0.75, 0.70, 1}, 0.15);
  for (double s : {-1.0, 1.0}) b.box({s * (hx - cap / 2), 0}, cap, p.width_mm, 0.05, h, Ink{0.63, 0.625, 0.60, 1}, 0.2);
  b.words("T2A", {0, 0.5}, 0.75, h, Ink{0.2, 0.2, 0.2, 0.9});
  b.words("125V", {0, -0.5}, 0.65, h, Ink{0.2, 0.2, 0.2, 0.9});
}

void paint_crystal(BodyPainter& b) {
  const Part& p = b.part;
  for (double s : {-1.0, 1.0}) b.fillet({s * p.length_mm * 0.46, 0}, {s * (p.pitch_mm / 2 + p.length_mm * 0.17), 0}, p.width_mm * 0.85, 0.2);
  b.box({0, 0}, p.length_mm, p.width_mm, 0.05, p.height_mm * 0.6, Ink{0.36, 0.32, 0.27, 1}, 0.05);
  b.box({0, 0}, p.length_mm * 0.9, p.width_mm * 0.86, p.height_mm * 0.6, p.height_mm, Ink{0.70, 0.685, 0.63, 1}, 0.14);
  b.words(p.marking, {0, 0}, std::min(p.width_mm * 0.3, 0.85), p.height_mm, Ink{0.25, 0.24, 0.22, 0.9});
}

void paint_module(BodyPainter& b) {
  const Part& p = b.part;
  const double hx = p.length_mm / 2, hy = p.width_mm / 2;
  b.box({0, 0}, p.length_mm, p.width_mm, 0.05, 0.9, Ink{0.05, 0.13, 0.24, 1}, 0.05);
  for (const Land& l : lands(p)) {
    const double s = l.at.x < 0 ? -1.0 : 1.0;
    b.face({{s * hx, l.at.y - 0.42, 0.9}, {s * (hx - 0.8), l.at.y - 0.42, 0.9}, {s * (hx - 0.8), l.at.y + 0.42, 0.9}, {s * hx, l.at.y + 0.42, 0.9}}, Ink{0.82, 0.72, 0.46, 1});
    b.fillet({s * hx, l.at.y}, {s * (hx + 0.55), l.at.y}, 0.8, 0.7);
  }
  // Antenna: a meander in bare gold at the upper end.
  Outline meander;
  for (int i = 0; i < 9; ++i) {
    const double x = -hx + 2 + i * 1.75;
    meander.push_back(b.at(x, i % 2 == 0 ? hy - 1.0 : hy - 4.2, 0.92));
    meander.push_back(b.at(x + 1.75, i % 2 == 0 ? hy - 1.0 : hy - 4.2, 0.92));
  }
  b.pen.line(meander, 0.6, Ink{0.80, 0.70, 0.42, 1});
  b.box({0, -2.6}, p.length_mm - 2.6, p.width_mm - 7.4, 0.9, p.height_mm, Ink{0.62, 0.625, 0.63, 1}, 0.3);
  const Ink etched{0.33, 0.33, 0.34, 0.9};
  b.words(p.marking, {0, -0.6}, 1.7, p.height_mm, etched);
  b.words("868 MHZ RADIO", {0, -3.6}, 0.95, p.height_mm, etched);
  b.words("LOT 0417", {0, -6.0}, 0.95, p.height_mm, etched);
  const Solid one = b.at(-hx + 2.6, 2.9, p.height_mm);
  b.pen.fill(circle_at({one.x, one.y}, 0.45, p.height_mm), etched);
}

}  // namespace

void paint_tall_body(BodyPainter& b) {
  switch (b.part.family) {
    case Family::can_electrolytic: paint_electrolytic(b); break;
    case Family::screw_terminal: paint_terminal(b); break;
    case Family::pin_header:
    case Family::shrouded_header: paint_header(b); break;
    case Family::coin_cell_holder: paint_cell_holder(b); break;
    case Family::inductor: paint_inductor(b); break;
    case Family::fuse: paint_fuse(b); break;
    case Family::crystal: paint_crystal(b); break;
    case Family::radio_module: paint_module(b); break;
    default: break;  // flat parts are drawn elsewhere
  }
}

}  // namespace demo_board
