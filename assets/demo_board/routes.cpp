#include "routes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <queue>

#include "dice.h"
#include "footprints.h"

namespace demo_board {
namespace {

constexpr double cell_mm = 0.25;
constexpr int columns = static_cast<int>(board_width_mm / cell_mm) + 1;
constexpr int rows = static_cast<int>(board_height_mm / cell_mm) + 1;
constexpr int nobody = -1, forbidden = -2;

struct Pad {
  std::size_t part = 0;
  Point at;
  Side side = Side::top;
  bool through = false;
  bool used = false;
};

int cell_of(double x, double y) {
  const int c = std::clamp(static_cast<int>(std::lround(x / cell_mm)), 0, columns - 1);
  const int r = std::clamp(static_cast<int>(std::lround(y / cell_mm)), 0, rows - 1);
  return r * columns + c;
}
Point centre_of(int cell) { return {(cell % columns) * cell_mm, (cell / columns) * cell_mm}; }

bool inside_outline(Point p, double margin) {
  const auto& o = outline_mm();
  bool inside = false;
  double nearest = 1e9;
  for (std::size_t i = 0, j = o.size() - 1; i < o.size(); j = i++) {
    if ((o[i].y > p.y) != (o[j].y > p.y) &&
        p.x < (o[j].x - o[i].x) * (p.y - o[i].y) / (o[j].y - o[i].y) + o[i].x)
      inside = !inside;
    const double dx = o[j].x - o[i].x, dy = o[j].y - o[i].y;
    const double t = std::clamp(((p.x - o[i].x) * dx + (p.y - o[i].y) * dy) / (dx * dx + dy * dy), 0.0, 1.0);
    nearest = std::min(nearest, std::hypot(p.x - o[i].x - t * dx, p.y - o[i].y - t * dy));
  }
  return inside && nearest > margin;
}

class Maze {
 public:
  Maze() {
    for (auto& grid : owner_) grid.assign(static_cast<std::size_t>(columns * rows), nobody);
    for (int i = 0; i < columns * rows; ++i)
      if (!inside_outline(centre_of(i), 1.2)) set(i, forbidden);
    for (const Target& t : targets()) block_disc(t.at_mm, t.hole ? 3.6 : 1.8);
  }
  void block_pad(const Part& part, const Land& land, int id) {
    for (int pass = 0; pass < 2; ++pass) {
      const double grow = pass == 0 ? 0.2 : 0.0;
      const double hx = land.size_x / 2 + grow, hy = land.size_y / 2 + grow;
      for (double x = -hx; x <= hx + 1e-9; x += hx / 8)
        for (double y = -hy; y <= hy + 1e-9; y += hy / 8) {
          const Point b = board_from_part(part, {land.at.x + x, land.at.y + y});
          const std::size_t i = static_cast<std::size_t>(cell_of(b.x, b.y));
          for (Side side : {Side::top, Side::bottom}) {
            if (land.drill_mm == 0.0 && side != part.side) continue;
            int& o = owner_[side == Side::bottom][i];
            o = pass == 1 || o == nobody || o == id ? id : (o == forbidden ? o : forbidden);
          }
        }
    }
  }
  void block_disc(Point at, double radius) {
    for (int i = 0; i < columns * rows; ++i)
      if (std::hypot(centre_of(i).x - at.x, centre_of(i).y - at.y) < radius) set(i, forbidden);
  }
  bool free_for_via(int cell) const {
    const int c = cell % columns, r = cell / columns;
    for (int dr = -3; dr <= 3; ++dr)
      for (int dc = -3; dc <= 3; ++dc) {
        if (dr * dr + dc * dc > 9) continue;
        if (c + dc < 0 || c + dc >= columns || r + dr < 0 || r + dr >= rows) return false;
        const std::size_t i = static_cast<std::size_t>((r + dr) * columns + c + dc);
        if (owner_[0][i] != nobody || owner_[1][i] != nobody) return false;
      }
    return true;
  }
  void lay(Side side, const std::vector<int>& cells, int id) {
    for (int cell : cells)
      for (int dr = -1; dr <= 1; ++dr)
        for (int dc = -1; dc <= 1; ++dc) {
          const int c = cell % columns + dc, r = cell / columns + dr;
          if (c < 0 || c >= columns || r < 0 || r >= rows) continue;
          int& o = owner_[side == Side::bottom][static_cast<std::size_t>(r * columns + c)];
          if (o == nobody) o = id + 10000;
        }
  }
  // Cells from the pad `from` to the pad `to`, or to a place for a via when `to` is negative.
  std::vector<int> search(Side side, int start, int from, int goal, int to) const {
    const auto& grid = owner_[side == Side::bottom];
    std::vector<float> cost(grid.size(), 1e9f);
    std::vector<int> came(grid.size(), -1);
    using Entry = std::pair<float, int>;
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> open;
    const auto ahead = [&](int cell) {
      if (goal < 0) return 0.0f;
      const int dc = std::abs(cell % columns - goal % columns), dr = std::abs(cell / columns - goal / columns);
      return static_cast<float>(std::max(dc, dr)) + 0.41f * static_cast<float>(std::min(dc, dr));
    };
    cost[static_cast<std::size_t>(start)] = 0;
    open.push({ahead(start), start});
    static constexpr std::array<int, 8> step_c = {1, 1, 0, -1, -1, -1, 0, 1}, step_r = {0, 1, 1, 1, 0, -1, -1, -1};
    int reached = -1, visited = 0;
    while (!open.empty() && ++visited < 60000) {
      const int cell = open.top().second;
      open.pop();
      const Point here = centre_of(cell), begin = centre_of(start);
      if (cell == goal || (goal < 0 && std::hypot(here.x - begin.x, here.y - begin.y) > 1.1 && free_for_via(cell))) {
        reached = cell;
        break;
      }
      const int before = came[static_cast<std::size_t>(cell)];
      for (std::size_t k = 0; k < 8; ++k) {
        const int c = cell % columns + step_c[k], r = cell / columns + step_r[k];
        if (c < 0 || c >= columns || r < 0 || r >= rows) continue;
        const std::size_t next = static_cast<std::size_t>(r * columns + c);
        const int o = grid[next];
        if (o != nobody && o != from && o != to) continue;
        const bool bends = before >= 0 && (cell - before) != (static_cast<int>(next) - cell);
        const float g = cost[static_cast<std::size_t>(cell)] + (k % 2 == 0 ? 1.0f : 1.414f) + (bends ? 0.9f : 0.0f);
        if (g >= cost[next]) continue;
        cost[next] = g;
        came[next] = cell;
        open.push({g + ahead(static_cast<int>(next)), static_cast<int>(next)});
      }
    }
    std::vector<int> cells;
    for (int c = reached; c >= 0; c = came[static_cast<std::size_t>(c)]) cells.push_back(c);
    return cells;
  }

 private:
  void set(int cell, int owner) {
    for (auto& grid : owner_) grid[static_cast<std::size_t>(cell)] = owner;
  }
  std::array<std::vector<int>, 2> owner_;
};

std::vector<Point> corners_of(const std::vector<int>& cells) {
  std::vector<Point> path;
  for (std::size_t i = 0; i < cells.size(); ++i)
    if (i == 0 || i + 1 == cells.size() || cells[i] - cells[i - 1] != cells[i + 1] - cells[i])
      path.push_back(centre_of(cells[i]));
  return path;
}

bool carries_power(const Part& p) {
  return p.family == Family::screw_terminal || p.family == Family::inductor || p.family == Family::fuse ||
         p.family == Family::can_electrolytic || (p.family == Family::diode && p.width_mm > 2);
}

Copper route() {
  Copper result;
  Maze maze;
  std::vector<Pad> pads;
  for (std::size_t i = 0; i < parts().size(); ++i)
    for (const Land& land : lands(parts()[i])) {
      maze.block_pad(parts()[i], land, static_cast<int>(pads.size()));
      pads.push_back({i, board_from_part(parts()[i], land.at), parts()[i].side, land.drill_mm > 0});
    }
  Dice dice(20240917);
  int trace_id = 0;
  const auto join = [&](std::size_t a, std::size_t b, Side side) {
    const auto cells = maze.search(side, cell_of(pads[a].at.x, pads[a].at.y), static_cast<int>(a),
                                   cell_of(pads[b].at.x, pads[b].at.y), static_cast<int>(b));
    if (cells.empty() || cells.size() > 260) return false;
    maze.lay(side, cells, trace_id++);
    auto path = corners_of(cells);
    path.front() = pads[b].at;
    path.back() = pads[a].at;
    const bool power = carries_power(parts()[pads[a].part]) && carries_power(parts()[pads[b].part]);
    result.traces.push_back({side, power ? 0.36 : 0.2, std::move(path)});
    pads[a].used = pads[b].used = true;
    return true;
  };
  for (int round = 0; round < 900; ++round) {
    const std::size_t a = static_cast<std::size_t>(dice.below(static_cast<int>(pads.size())));
    if (pads[a].used) continue;
    std::vector<std::pair<double, std::size_t>> near;
    for (std::size_t b = 0; b < pads.size(); ++b) {
      if (pads[b].part == pads[a].part || pads[b].used) continue;
      if (pads[a].side != pads[b].side && !pads[a].through && !pads[b].through) continue;
      near.push_back({std::hypot(pads[a].at.x - pads[b].at.x, pads[a].at.y - pads[b].at.y), b});
    }
    std::sort(near.begin(), near.end());
    if (near.empty()) continue;
    const int pick = std::min(static_cast<int>(near.size()), 9);
    const std::size_t b = near[static_cast<std::size_t>(dice.below(pick))].second;
    Side side = pads[a].through ? pads[b].side : pads[a].side;
    if (pads[a].through && pads[b].through && dice.below(2) == 0) side = Side::bottom;
    join(a, b, side);
  }
  for (std::size_t a = 0; a < pads.size(); ++a) {
    if (pads[a].used || pads[a].through || parts()[pads[a].part].family == Family::test_point) continue;
    const auto cells = maze.search(pads[a].side, cell_of(pads[a].at.x, pads[a].at.y), static_cast<int>(a), -1, -1);
    if (cells.empty() || cells.size() > 60) continue;
    maze.lay(pads[a].side, cells, trace_id++);
    auto path = corners_of(cells);
    result.vias.push_back(path.front());
    maze.block_disc(path.front(), 0.55);
    path.back() = pads[a].at;
    result.traces.push_back({pads[a].side, 0.2, std::move(path)});
  }
  // A fence of vias along the edge, as on any board with a poured ground.
  for (double along = 0; along < 2 * (board_width_mm + board_height_mm); along += 5.0) {
    const double in = 2.25, w = board_width_mm, h = board_height_mm;
    const Point at = along < w           ? Point{along, in}
                     : along < w + h     ? Point{w - in, along - w}
                     : along < 2 * w + h ? Point{along - w - h, h - in}
                                         : Point{in, along - 2 * w - h};
    const int cell = cell_of(at.x, at.y);
    if (!maze.free_for_via(cell)) continue;
    result.vias.push_back(centre_of(cell));
    maze.block_disc(centre_of(cell), 0.55);
  }
  // Long runs between vias on either side, then stitching vias where there is room left.
  for (int round = 0; round < 2600; ++round) {
    const bool stitching = round >= 2200;
    const Point at = {dice.between(3, 145), dice.between(3, 93)};
    const int cell = cell_of(at.x, at.y);
    if (!maze.free_for_via(cell)) continue;
    if (!stitching) {
      const Side side = round % 5 == 0 ? Side::top : Side::bottom;
      const bool level = dice.below(3) > 0;
      const double far = dice.between(10, 62) * (dice.below(2) == 0 ? -1 : 1), near = dice.between(-9, 9);
      const int goal = cell_of(at.x + (level ? far : near), at.y + (level ? near : far));
      if (!maze.free_for_via(goal)) continue;
      const auto cells = maze.search(side, cell, nobody, goal, nobody);
      if (cells.size() < 24 || cells.size() > 260) continue;
      maze.lay(side, cells, trace_id++);
      result.traces.push_back({side, 0.2, corners_of(cells)});
      result.vias.push_back(centre_of(goal));
      maze.block_disc(centre_of(goal), 0.55);
      if (trace_id > 330) round = 2200;
    }
    result.vias.push_back(centre_of(cell));
    maze.block_disc(centre_of(cell), stitching ? 2.2 : 0.55);
  }
  return result;
}

}  // namespace

const Copper& copper() {
  static const Copper laid = route();
  return laid;
}

}  // namespace demo_board
