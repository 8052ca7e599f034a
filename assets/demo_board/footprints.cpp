#include "footprints.h"

#include <cmath>

namespace demo_board {
namespace {

std::vector<Land> two_ends(double pitch, double sx, double sy) {
  return {{1, {-pitch / 2, 0}, sx, sy}, {2, {pitch / 2, 0}, sx, sy}};
}

std::vector<Land> two_rows(const Part& p, double sx, double sy) {
  std::vector<Land> list;
  const int side = p.pins / 2;
  for (int i = 0; i < p.pins; ++i) {
    const bool left = i < side;
    const int step = left ? i : p.pins - 1 - i;
    list.push_back({i + 1, {left ? -p.span_mm / 2 : p.span_mm / 2, ((side - 1) / 2.0 - step) * p.pitch_mm}, sx, sy});
  }
  return list;
}

std::vector<Land> four_rows(const Part& p, double along, double across) {
  std::vector<Land> list;
  const int side = p.pins / 4;
  const double half = p.span_mm / 2, first = (side - 1) / 2.0 * p.pitch_mm;
  for (int i = 0; i < p.pins; ++i) {
    const double t = first - (i % side) * p.pitch_mm;
    switch (i / side) {
      case 0: list.push_back({i + 1, {-half, t}, along, across}); break;
      case 1: list.push_back({i + 1, {-t, -half}, across, along}); break;
      case 2: list.push_back({i + 1, {half, -t}, along, across}); break;
      default: list.push_back({i + 1, {t, half}, across, along}); break;
    }
  }
  return list;
}

std::vector<Land> one_row(const Part& p, double size, double drill) {
  std::vector<Land> list;
  for (int i = 0; i < p.pins; ++i)
    list.push_back({i + 1, {(i - (p.pins - 1) / 2.0) * p.pitch_mm, 0}, size, size, i != 0, drill});
  return list;
}

}  // namespace

std::vector<Land> lands(const Part& p) {
  switch (p.family) {
    case Family::chip_resistor:
    case Family::chip_capacitor:
    case Family::led: return two_ends(p.pitch_mm, p.width_mm * 1.05, p.width_mm * 1.15);
    case Family::moulded_tantalum: return two_ends(p.pitch_mm, 2.6, 2.5);
    case Family::can_electrolytic: return two_ends(p.pitch_mm, 3.6, 1.8);
    case Family::diode: return two_ends(p.pitch_mm, p.width_mm * 0.75, p.width_mm * 0.75);
    case Family::inductor: return two_ends(p.pitch_mm, p.length_mm * 0.34, p.width_mm * 0.72);
    case Family::fuse: return two_ends(p.pitch_mm, 2.4, 3.1);
    case Family::crystal: return two_ends(p.pitch_mm, p.length_mm * 0.36, p.width_mm * 0.9);
    case Family::coin_cell_holder: return two_ends(p.pitch_mm, 3.6, 4.6);
    case Family::sot23:
      return {{1, {-p.span_mm / 2, 0.95}, 1.0, 0.8}, {2, {-p.span_mm / 2, -0.95}, 1.0, 0.8}, {3, {p.span_mm / 2, 0}, 1.0, 0.8}};
    case Family::dual_row: return two_rows(p, p.pitch_mm > 1 ? 1.7 : 1.5, p.pitch_mm * 0.5);
    case Family::radio_module: return two_rows(p, 1.8, 1.0);
    case Family::quad_flat: return four_rows(p, 1.5, 0.3);
    case Family::quad_no_lead: return four_rows(p, 0.8, 0.28);
    case Family::screw_terminal: return one_row(p, 2.6, 1.3);
    case Family::pin_header: return one_row(p, 1.7, 1.0);
    case Family::shrouded_header: {
      if (p.span_mm == 0.0) return one_row(p, 1.9, 1.0);
      std::vector<Land> list;
      for (int i = 0; i < p.pins; ++i)
        list.push_back({i + 1, {(i / 2 - (p.pins / 2 - 1) / 2.0) * p.pitch_mm, (i % 2 == 0 ? -0.5 : 0.5) * p.span_mm},
                        1.7, 1.7, i != 0, 1.0});
      return list;
    }
    case Family::test_point: return {{1, {0, 0}, p.length_mm, p.width_mm, true}};
  }
  return {};
}

Point board_from_part(const Part& part, Point local) {
  const double rad = part.rotation_deg * 3.14159265358979323846 / 180.0;
  const double x = part.side == Side::bottom ? -local.x : local.x;
  return {part.at_mm.x + x * std::cos(rad) - local.y * std::sin(rad),
          part.at_mm.y + x * std::sin(rad) + local.y * std::cos(rad)};
}

}  // namespace demo_board
