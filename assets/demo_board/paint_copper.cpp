#include "paint_copper.h"

#include <algorithm>
#include <cmath>

#include "footprints.h"
#include "routes.h"

namespace demo_board {
namespace {

constexpr Ink mask_on_laminate{0.040, 0.185, 0.130, 1};
constexpr Ink mask_on_copper{0.090, 0.335, 0.210, 1};
constexpr Ink edge_of_board{0.55, 0.50, 0.33, 1};
constexpr Ink tin{0.62, 0.63, 0.62, 1};

std::vector<Point> inset_outline(double by) {
  // Every corner moves along its two edges' inward normals; enough for straight edges.
  const auto& o = outline_mm();
  std::vector<Point> moved;
  for (std::size_t i = 0; i < o.size(); ++i) {
    const Point a = o[(i + o.size() - 1) % o.size()], b = o[i], c = o[(i + 1) % o.size()];
    const double la = std::hypot(b.x - a.x, b.y - a.y), lc = std::hypot(c.x - b.x, c.y - b.y);
    const Point n1{-(b.y - a.y) / la, (b.x - a.x) / la}, n2{-(c.y - b.y) / lc, (c.x - b.x) / lc};
    const double k = by / (1 + n1.x * n2.x + n1.y * n2.y);
    moved.push_back({b.x + (n1.x + n2.x) * k, b.y + (n1.y + n2.y) * k});
  }
  return moved;
}

Outline land_outline(const Part& part, const Land& land, double grow) {
  if (land.round) return circle_at(board_from_part(part, land.at), land.size_x / 2 + grow);
  const double hx = land.size_x / 2 + grow, hy = land.size_y / 2 + grow, cut = std::min(hx, hy) * 0.35;
  Outline line;
  const Point local[] = {{-hx + cut, -hy}, {hx - cut, -hy}, {hx, -hy + cut}, {hx, hy - cut},
                         {hx - cut, hy},   {-hx + cut, hy}, {-hx, hy - cut}, {-hx, -hy + cut}};
  for (Point p : local) {
    const Point b = board_from_part(part, {land.at.x + p.x, land.at.y + p.y});
    line.push_back({b.x, b.y, 0});
  }
  return line;
}

// Supply areas cut out of the ground pour; on the bottom they lie under their loads.
std::vector<std::vector<Point>> supply_areas(Side side) {
  if (side == Side::top)
    return {{{8, 70.5}, {8, 82.5}, {22.5, 82.5}, {22.5, 72}, {28, 66.9}, {28, 61}, {8.5, 61}, {7, 62.5}, {7, 69.5}},
            {{35, 62}, {45.5, 62}, {46.5, 63}, {46.5, 81}, {45.5, 82}, {34.8, 82}, {34.8, 71}, {33.8, 70}, {33.8, 63.2}},
            {{24, 14}, {86, 14}, {87, 15}, {87, 18}, {60, 18}, {58, 20}, {41, 20}, {39, 29}, {24, 29}, {23, 28}, {23, 15}},
            {{106, 8.5}, {138, 8.5}, {139, 9.5}, {139, 34}, {138, 35}, {106.5, 35}, {105.5, 34}, {105.5, 9.5}}};
  return {{{8, 60}, {45, 60}, {46, 61}, {46, 92}, {8, 92}, {7, 91}, {7, 61}},
          {{48, 62}, {76, 62}, {77, 63}, {77, 77}, {76, 78}, {48, 78}, {47, 77}, {47, 63}},
          {{104, 36}, {142, 36}, {143, 37}, {143, 57}, {142, 58}, {104, 58}, {103, 57}, {103, 37}},
          {{29, 3}, {88, 3}, {89, 4}, {89, 13}, {88, 14}, {29, 14}, {28, 13}, {28, 4}}};
}

Outline shifted(const std::vector<Point>& path, Solid light, double by) {
  Outline line;
  for (Point p : path) line.push_back({p.x + light.x * by, p.y + light.y * by, 0});
  return line;
}

}  // namespace

void paint_board_plane(Pen& pen, Side side, Solid light) {
  const auto& corners = outline_mm();
  pen.fill(raised(corners, -1.6), shade(edge_of_board, 0.45));
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Point a = corners[i], b = corners[(i + 1) % corners.size()];
    const double length = std::hypot(b.x - a.x, b.y - a.y);
    const double facing = ((b.y - a.y) * light.x - (b.x - a.x) * light.y) / length;
    pen.fill({{a.x, a.y, 0}, {b.x, b.y, 0}, {b.x, b.y, -1.6}, {a.x, a.y, -1.6}}, shade(edge_of_board, 0.62 + 0.5 * facing));
  }
  pen.fill(raised(corners, 0), mask_on_laminate);
  pen.fill(raised(inset_outline(0.7), 0), mask_on_copper);
  const Copper& laid = copper();
  for (std::vector<Point> area : supply_areas(side)) {
    area.push_back(area.front());
    pen.fill(raised(area, 0), shade(mask_on_copper, 1.05));
    pen.line(shifted(area, light, -0.08), 0.42, shade(mask_on_copper, 1.35));
    pen.line(raised(area, 0), 0.42, mask_on_laminate);
  }
  for (const Part& part : parts())
    for (const Land& land : lands(part))
      if (part.side == side || land.drill_mm > 0) pen.fill(land_outline(part, land, 0.28), mask_on_laminate);
  for (const Trace& t : laid.traces)
    if (t.side == side) pen.line(raised(t.path, 0), t.width_mm + 0.40, mask_on_laminate);
  for (Point v : laid.vias) pen.fill(circle_at(v, via_land_mm / 2 + 0.16, 0, 20), mask_on_laminate);
  for (const Trace& t : laid.traces) {
    if (t.side != side) continue;
    // A trace stands 35 um proud: one flank catches the light, the other loses it.
    pen.line(shifted(t.path, light, 0.06), t.width_mm, shade(mask_on_copper, 1.5));
    pen.line(shifted(t.path, light, -0.06), t.width_mm, shade(mask_on_copper, 0.62));
    pen.line(raised(t.path, 0), t.width_mm, shade(mask_on_copper, 1.22));
  }
  for (Point v : laid.vias) {
    pen.fill(circle_at({v.x + light.x * 0.05, v.y + light.y * 0.05}, via_land_mm / 2, 0, 20), shade(mask_on_copper, 1.55));
    pen.fill(circle_at(v, via_land_mm / 2, 0, 20), shade(mask_on_copper, 1.15));
    pen.fill(circle_at(v, via_drill_mm / 2, 0, 16), shade(mask_on_laminate, 0.55));
  }
}

void paint_lands(Pen& pen, Side side, Solid light, std::uint64_t unit, const std::vector<Part>& fitted) {
  for (const Part& part : parts())
    for (const Land& land : lands(part)) {
      if (part.side != side && land.drill_mm == 0) continue;
      Dice dice(seed_of(part.refdes, unit * 1000 + static_cast<std::uint64_t>(land.pin)));
      const Point at = board_from_part(part, land.at);
      const double reach = std::max(land.size_x, land.size_y) * 0.6;
      const bool bare = part.family == Family::test_point ||
                        std::none_of(fitted.begin(), fitted.end(), [&](const Part& f) { return f.refdes == part.refdes; });
      const double gloss = dice.between(0.88, 1.08);
      pen.fill(land_outline(part, land, 0.06), shade(mask_on_laminate, 0.8));
      if (land.drill_mm > 0 && part.side != side) {
        // The soldered end of a pin: a cone of solder with the cut pin in the middle.
        pen.fill(land_outline(part, land, 0), shade(tin, 0.72 * gloss));
        const Point hot{at.x + light.x * land.size_x * 0.22, at.y + light.y * land.size_x * 0.22};
        pen.fill_glow(circle_at(at, land.size_x * 0.46), {hot.x, hot.y, 0}, land.size_x * 0.55, shade(tin, 1.35 * gloss),
                      shade(tin, 0.5));
        const Point tip{at.x, at.y};
        pen.fill(circle_at(tip, land.drill_mm * 0.36, 1.0, 16), shade(tin, 0.9 * gloss));
        pen.fill_glow(circle_at(hot, land.size_x * 0.13, 0.5, 12), {hot.x, hot.y, 0.5}, land.size_x * 0.13, Ink{1, 1, 1, 0.9},
                      Ink{1, 1, 1, 0});
        continue;
      }
      pen.fill_graded(land_outline(part, land, 0), {at.x - light.x * reach, at.y - light.y * reach, 0},
                      shade(tin, 0.62 * gloss), {at.x + light.x * reach, at.y + light.y * reach, 0}, shade(tin, 1.18 * gloss));
      if (bare) {
        // Wick leaves a thin, uneven film of solder.
        pen.fill_glow(land_outline(part, land, -0.1), {at.x + dice.between(-0.3, 0.3), at.y + dice.between(-0.3, 0.3), 0},
                      reach, Ink{0.95, 0.94, 0.9, 0.7}, Ink{0.6, 0.55, 0.42, 0.25});
      }
      if (land.drill_mm > 0) pen.fill(circle_at(at, land.drill_mm / 2), Ink{0.15, 0.15, 0.14, 1});
    }
}

void paint_targets(Pen& pen, Side side) {
  for (const Target& t : targets()) {
    if (t.hole) {
      pen.fill(circle_at(t.at_mm, hole_land_mm / 2 + 0.3), mask_on_laminate);
      pen.fill(circle_at(t.at_mm, hole_land_mm / 2), shade(tin, 0.98));
      pen.fill(circle_at(t.at_mm, hole_mm / 2 + 0.12), shade(tin, 0.6));
      pen.fill(circle_at(t.at_mm, hole_mm / 2), Ink{0.05, 0.06, 0.07, 1});
    } else if (t.side == side) {
      pen.fill(circle_at(t.at_mm, fiducial_clear_mm / 2), Ink{0.36, 0.37, 0.22, 1});
      pen.fill(circle_at(t.at_mm, fiducial_dot_mm / 2), Ink{0.86, 0.80, 0.62, 1});
    }
  }
}

}  // namespace demo_board
