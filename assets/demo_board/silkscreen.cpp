#include "silkscreen.h"

#include <algorithm>
#include <cmath>

#include "footprints.h"
#include "stroke_letters.h"

namespace demo_board {
namespace {

constexpr Ink white{0.90, 0.91, 0.87, 0.95};
constexpr double line_mm = 0.17;

struct Box {
  double x0, y0, x1, y1;
  bool meets(const Box& o, double gap) const {
    return x0 < o.x1 + gap && o.x0 < x1 + gap && y0 < o.y1 + gap && o.y0 < y1 + gap;
  }
};

void grow(Box& box, Point p) {
  box = {std::min(box.x0, p.x), std::min(box.y0, p.y), std::max(box.x1, p.x), std::max(box.y1, p.y)};
}

Box extent(const Part& part, bool with_body) {
  Box box{1e9, 1e9, -1e9, -1e9};
  const auto add = [&](double cx, double cy, double hx, double hy) {
    for (double sx : {-1.0, 1.0})
      for (double sy : {-1.0, 1.0}) grow(box, board_from_part(part, {cx + sx * hx, cy + sy * hy}));
  };
  if (with_body) add(0, 0, part.length_mm / 2, part.width_mm / 2);
  for (const Land& l : lands(part)) add(l.at.x, l.at.y, l.size_x / 2, l.size_y / 2);
  return box;
}

struct Label {
  std::string words;
  Point at;
  bool upright = false;
  double size_mm = 1.25;
};

struct Print {
  std::string_view words;
  Point at;
  double size_mm;
};

std::vector<Print> prints(Side side) {
  if (side == Side::bottom)
    return {{"GC-12 REV C", {122, 30}, 2.2},
            {"BRACKENWICK INSTRUMENTS", {122, 26.5}, 1.3},
            {"CAUTION: 24 V ON VENT TERMINALS", {70, 80}, 1.2},
            {"FIT CELL + UP", {122, 12}, 1.2}};
  return {{"BRACKENWICK", {102, 8.6}, 2.3}, {"GC-12 GLASSHOUSE CONTROLLER", {102, 5.4}, 1.2}, {"REV C", {102, 3.0}, 1.2},
          {"24V IN", {17, 94.7}, 1.0},      {"VENT 1", {42.0, 94.7}, 1.0},                     {"VENT 2", {51.2, 94.7}, 1.0},
          {"VENT 3", {60.4, 94.7}, 1.0},    {"TEMP", {82, 94.7}, 1.0},                         {"HUMID", {92, 94.7}, 1.0},
          {"SOIL", {100.5, 94.7}, 1.0},       {"PUMP", {42, 1.4}, 1.0},                          {"LAMP", {70, 1.4}, 1.0}};
}

std::vector<Box> obstacles(Side side) {
  std::vector<Box> taken;
  for (const Part& part : parts()) {
    const bool through = !lands(part).empty() && lands(part)[0].drill_mm > 0;
    if (part.side == side) taken.push_back(extent(part, true));
    else if (through)
      for (const Land& l : lands(part)) {
        const Point c = board_from_part(part, l.at);
        taken.push_back({c.x - 1.3, c.y - 1.3, c.x + 1.3, c.y + 1.3});
      }
  }
  for (const Print& p : prints(side)) {
    const double half = stroke_text_width(p.words) * p.size_mm / 2;
    taken.push_back({p.at.x - half, p.at.y - p.size_mm / 2, p.at.x + half, p.at.y + p.size_mm / 2});
  }
  for (const Target& t : targets())
    if (t.hole || t.side == side) {
      const double r = t.hole ? 3.2 : 1.6;
      taken.push_back({t.at_mm.x - r, t.at_mm.y - r, t.at_mm.x + r, t.at_mm.y + r});
    }
  return taken;
}

std::vector<Label> place_labels(Side side) {
  std::vector<Box> taken = obstacles(side);
  std::vector<Label> labels;
  for (const Part& part : parts()) {
    if (part.side != side) continue;
    const Box b = extent(part, true);
    const double cx = (b.x0 + b.x1) / 2, cy = (b.y0 + b.y1) / 2;
    bool placed = false;
    for (double size : {1.3, 1.1})
      for (double spare : {0.0, 0.5, 1.2}) {
        const bool lined = part.family != Family::chip_resistor && part.family != Family::chip_capacitor;
        const double away = spare + (lined ? 0.75 : 0.4);  // clear of the printed outline
        const double w = stroke_text_width(part.refdes) * size, h = size;
        const Label tries[] = {{part.refdes, {cx, b.y1 + away + h / 2}, false, size},
                               {part.refdes, {cx, b.y0 - away - h / 2}, false, size},
                               {part.refdes, {b.x1 + away + w / 2, cy}, false, size},
                               {part.refdes, {b.x0 - away - w / 2, cy}, false, size},
                               {part.refdes, {b.x1 + away + h / 2, cy}, true, size},
                               {part.refdes, {b.x0 - away - h / 2, cy}, true, size},
                               {part.refdes, {b.x0 + w / 2, b.y1 + away + h / 2}, false, size},
                               {part.refdes, {b.x1 - w / 2, b.y0 - away - h / 2}, false, size}};
        for (const Label& t : tries) {
          if (placed) break;
          const double hx = (t.upright ? h : w) / 2, hy = (t.upright ? w : h) / 2;
          const Box box{t.at.x - hx, t.at.y - hy, t.at.x + hx, t.at.y + hy};
          if (box.x0 < 1 || box.y0 < 1 || box.x1 > board_width_mm - 1 || box.y1 > board_height_mm - 1) continue;
          if (std::any_of(taken.begin(), taken.end(), [&](const Box& o) { return box.meets(o, 0.22); })) continue;
          taken.push_back(box);
          labels.push_back(t);
          placed = true;
        }
      }
  }
  return labels;
}

void path(Pen& pen, const Part& part, const std::vector<Point>& local) {
  Outline line;
  for (Point p : local) {
    const Point b = board_from_part(part, p);
    line.push_back({b.x, b.y, 0});
  }
  pen.line(line, line_mm, white);
}

void dot(Pen& pen, const Part& part, Point local, double radius) {
  pen.fill(circle_at(board_from_part(part, local), radius), white);
}

void paint_outline(Pen& pen, const Part& p) {
  const double hx = p.length_mm / 2 + 0.25, hy = p.width_mm / 2 + 0.25;
  switch (p.family) {
    case Family::chip_resistor:
    case Family::chip_capacitor:
    case Family::fuse:
    case Family::led: {
      const double gap = lands(p)[0].size_y / 2 + 0.22, end = p.pitch_mm / 2 - lands(p)[0].size_x / 2 + 0.1;
      path(pen, p, {{-end, gap}, {end, gap}});
      path(pen, p, {{-end, -gap}, {end, -gap}});
      if (p.family == Family::led) path(pen, p, {{-hx - 0.5, gap}, {-hx - 0.5, -gap}});
      break;
    }
    case Family::moulded_tantalum:
    case Family::diode: {
      const double reach = p.pitch_mm / 2 + lands(p)[0].size_x / 2 + 0.3, h = std::max(hy, lands(p)[0].size_y / 2 + 0.25);
      path(pen, p, {{p.pitch_mm / 2, h}, {-reach, h}, {-reach, -h}, {p.pitch_mm / 2, -h}});
      if (p.family == Family::moulded_tantalum) {
        path(pen, p, {{-reach - 0.5, h - 0.4}, {-reach - 1.3, h - 0.4}});
        path(pen, p, {{-reach - 0.9, h}, {-reach - 0.9, h - 0.8}});
      }
      break;
    }
    case Family::can_electrolytic:
      path(pen, p, {{-hx + 1.5, hy}, {hx, hy}, {hx, 1.3}});
      path(pen, p, {{-hx + 1.5, -hy}, {hx, -hy}, {hx, -1.3}});
      path(pen, p, {{-hx + 1.5, hy}, {-hx, hy - 1.5}, {-hx, 1.3}});
      path(pen, p, {{-hx + 1.5, -hy}, {-hx, -hy + 1.5}, {-hx, -1.3}});
      path(pen, p, {{-hx - 0.4, 1.9}, {-hx - 1.2, 1.9}});
      path(pen, p, {{-hx - 0.8, 2.3}, {-hx - 0.8, 1.5}});
      break;
    case Family::dual_row: {
      path(pen, p, {{-hx + 0.3, hy}, {hx - 0.3, hy}});
      path(pen, p, {{-hx + 0.3, -hy}, {hx - 0.3, -hy}});
      const Land one = lands(p)[0];
      dot(pen, p, {one.at.x, one.at.y + one.size_y / 2 + 0.6}, 0.28);
      break;
    }
    case Family::quad_flat:
    case Family::quad_no_lead: {
      for (double sx : {-1.0, 1.0})
        for (double sy : {-1.0, 1.0})
          path(pen, p, {{sx * (hx - 0.4), sy * hy}, {sx * hx, sy * hy}, {sx * hx, sy * (hy - 0.4)}});
      const Land one = lands(p)[0];
      dot(pen, p, {one.at.x, one.at.y + 0.85}, 0.28);
      break;
    }
    case Family::sot23:
      path(pen, p, {{-0.3, hy}, {hx - 0.2, hy}, {hx - 0.2, 0.8}});
      path(pen, p, {{-0.3, -hy}, {hx - 0.2, -hy}, {hx - 0.2, -0.8}});
      break;
    case Family::test_point: pen.line(raised({{p.at_mm.x - 0.9, p.at_mm.y - 1.2}, {p.at_mm.x + 0.9, p.at_mm.y - 1.2}}, 0), line_mm, white); break;
    case Family::radio_module:
    case Family::inductor:
    case Family::crystal:
    case Family::screw_terminal:
    case Family::pin_header:
    case Family::shrouded_header:
    case Family::coin_cell_holder:
      path(pen, p, {{-hx, hy}, {hx, hy}, {hx, -hy}, {-hx, -hy}, {-hx, hy}});
      if (p.pins > 2 && p.family != Family::radio_module) {
        const double x = lands(p)[0].at.x;
        path(pen, p, {{x, -hy - 0.2}, {x - 0.4, -hy - 0.85}, {x + 0.4, -hy - 0.85}, {x, -hy - 0.2}});
      }
      if (p.family == Family::radio_module) dot(pen, p, {lands(p)[0].at.x, hy + 0.3}, 0.35);
      break;
  }
}

}  // namespace

void paint_silkscreen(Pen& pen, Side side) {
  static const std::vector<Label> labels[2] = {place_labels(Side::top), place_labels(Side::bottom)};
  const double right = side == Side::bottom ? -1.0 : 1.0;  // print reads left to right from its own side
  for (const Part& part : parts())
    if (part.side == side) paint_outline(pen, part);
  for (const Label& l : labels[side == Side::bottom])
    pen.text(l.words, {l.at.x, l.at.y, 0}, l.upright ? Point{0, 1} : Point{right, 0},
             l.upright ? Point{-right, 0} : Point{0, 1}, l.size_mm, line_mm, white);
  for (const Print& p : prints(side))
    pen.text(p.words, {p.at.x, p.at.y, 0}, {right, 0}, {0, 1}, p.size_mm, p.size_mm * 0.13, white);
}

}  // namespace demo_board
