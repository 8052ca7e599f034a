#include "paint_bodies.h"

#include <algorithm>
#include <cmath>

#include "footprints.h"
#include "stroke_letters.h"

namespace demo_board {
namespace {

constexpr Ink metal{0.60, 0.605, 0.60, 1};
constexpr Ink moulding{0.135, 0.138, 0.142, 1};
constexpr Ink laser{0.62, 0.62, 0.58, 0.9};

void paint_chip(BodyPainter& b, Ink body, Ink top) {
  const Part& p = b.part;
  const double hx = p.length_mm / 2, cap = p.length_mm * 0.2;
  const double outer = p.pitch_mm / 2 + p.width_mm * 0.5;
  for (double s : {-1.0, 1.0}) b.fillet({s * hx, 0}, {s * outer, 0}, p.width_mm * 0.98, p.height_mm * 0.75);
  b.box({0, 0}, p.length_mm - 2 * cap, p.width_mm * 0.98, 0.05, p.height_mm * 0.97, body, 0.05);
  for (double s : {-1.0, 1.0}) b.box({s * (hx - cap / 2), 0}, cap, p.width_mm, 0.05, p.height_mm, metal, 0.09);
  if (p.family == Family::chip_resistor) {
    const double x = hx - cap, y = p.width_mm * 0.46;
    b.sheen({{-x, -y, p.height_mm}, {x, -y, p.height_mm}, {x, y, p.height_mm}, {-x, y, p.height_mm}}, top, 0.25);
    b.words(p.marking, {0, 0}, p.width_mm * (p.marking.size() > 3 ? 0.30 : 0.42), p.height_mm, Ink{0.88, 0.88, 0.85, 0.9});
  }
}

void paint_led(BodyPainter& b) {
  const Part& p = b.part;
  const double hx = p.length_mm / 2;
  for (double s : {-1.0, 1.0}) b.fillet({s * hx, 0}, {s * (p.pitch_mm / 2 + 0.6), 0}, p.width_mm, 0.35);
  b.box({0, 0}, p.length_mm, p.width_mm, 0.05, 0.35, Ink{0.85, 0.84, 0.78, 1}, 0.03);
  for (double s : {-1.0, 1.0}) b.box({s * (hx - 0.16), 0}, 0.32, p.width_mm, 0.05, 0.38, Ink{0.8, 0.7, 0.42, 1}, 0.03);
  b.box({0, 0}, 1.3, p.width_mm * 0.96, 0.35, p.height_mm, Ink{0.86, 0.88, 0.70, 1}, 0.12);
  b.cylinder({0.0, 0}, 0.26, p.height_mm, p.height_mm + 0.01, Ink{0.95, 0.88, 0.35, 1}, 14);
}

void paint_diode(BodyPainter& b) {
  const Part& p = b.part;
  const double hx = p.length_mm / 2, hy = p.width_mm / 2, strap = p.width_mm * 0.56;
  for (double s : {-1.0, 1.0}) b.gull_wing({s * hx, 0}, {s, 0}, (p.pitch_mm - p.length_mm) / 2 + p.width_mm * 0.28 + 0.1, strap, p.height_mm * 0.35);
  b.box({0, 0}, p.length_mm, p.width_mm, 0.1, p.height_mm, moulding, 0.16);
  const double x0 = -hx + 0.2, x1 = -hx + 0.2 + p.length_mm * 0.17, y = hy - 0.17;
  b.face({{x0, -y, p.height_mm}, {x1, -y, p.height_mm}, {x1, y, p.height_mm}, {x0, y, p.height_mm}}, Ink{0.74, 0.74, 0.70, 0.92});
  b.words(p.marking, {p.length_mm * 0.1, 0}, p.width_mm * 0.30, p.height_mm, laser);
}

void paint_tantalum(BodyPainter& b) {
  const Part& p = b.part;
  const double hx = p.length_mm / 2, hy = p.width_mm / 2, h = p.height_mm;
  for (double s : {-1.0, 1.0}) b.fillet({s * hx, 0}, {s * (p.pitch_mm / 2 + 1.2), 0}, 2.2, h * 0.4);
  const Ink body{0.80, 0.53, 0.12, 1};
  b.box({0, 0}, p.length_mm, p.width_mm, 0.1, h, body, 0.2);
  b.face({{-hx + 0.2, -hy + 0.2, h}, {-hx + 1.1, -hy + 0.2, h}, {-hx + 1.1, hy - 0.2, h}, {-hx + 0.2, hy - 0.2, h}}, Ink{0.36, 0.17, 0.05, 0.9});
  const std::size_t cut = p.marking.find(' ');
  b.words(p.marking.substr(0, cut), {0.5, 0.55}, 0.85, h, Ink{0.22, 0.10, 0.03, 0.95});
  b.words(p.marking.substr(cut + 1), {0.5, -0.6}, 0.75, h, Ink{0.22, 0.10, 0.03, 0.95});
}

void paint_moulded_chip(BodyPainter& b) {
  const Part& p = b.part;
  const bool quad = p.family == Family::quad_flat || p.family == Family::quad_no_lead;
  const double h = p.height_mm, hx = p.length_mm / 2, hy = p.width_mm / 2;
  for (const Land& land : lands(p)) {
    const bool sideways = !quad || std::abs(land.at.x) > std::abs(land.at.y);
    const double s = sideways ? (land.at.x < 0 ? -1.0 : 1.0) : (land.at.y < 0 ? -1.0 : 1.0);
    const Point root = sideways ? Point{s * hx, land.at.y} : Point{land.at.x, s * hy};
    const Point out = sideways ? Point{s, 0} : Point{0, s};
    const double far = sideways ? std::abs(land.at.x) + land.size_x / 2 : std::abs(land.at.y) + land.size_y / 2;
    const double lead = p.family == Family::sot23 ? 0.42 : p.pitch_mm > 1 ? 0.42 : p.family == Family::quad_flat ? 0.22 : 0.26;
    const double reach = far - (sideways ? hx : hy);
    if (p.family == Family::quad_no_lead) {
      b.fillet(root, {root.x + out.x * reach, root.y + out.y * reach}, 0.24, 0.2);
      continue;
    }
    b.gull_wing(root, out, reach - (p.pitch_mm > 1 ? 0.5 : 0.32), lead, h * 0.5);
  }
  b.box({0, 0}, p.length_mm, p.width_mm, 0.12, h, p.family == Family::quad_no_lead ? shade(moulding, 1.15) : moulding, p.family == Family::sot23 ? 0.12 : 0.2);
  if (p.family == Family::dual_row && p.pitch_mm > 1) {
    // The bevel along the pin-1 edge.
    b.face({{-hx + 0.2, -hy + 0.2, h}, {-hx + 0.5, -hy + 0.2, h}, {-hx + 0.5, hy - 0.2, h}, {-hx + 0.2, hy - 0.2, h}}, Ink{0.3, 0.3, 0.3, 0.7});
  }
  if (p.family != Family::sot23) {
    const double r = p.family == Family::quad_no_lead ? 0.18 : quad ? 0.36 : 0.32;
    const Point at{-hx + 2.2 * r + 0.3, hy - 2.2 * r - 0.2};
    const Solid c = b.at(at.x, at.y, h);
    b.pen.fill_glow(circle_at({c.x, c.y}, r, h, 20), {c.x - b.light.x * r, c.y - b.light.y * r, h}, 2 * r, Ink{0.05, 0.05, 0.05, 1}, Ink{0.30, 0.30, 0.30, 1});
  }
  if (p.marking.empty()) return;
  const std::size_t cut = p.marking.find(' ');
  const std::string first = p.marking.substr(0, cut), second = cut == std::string::npos ? "" : p.marking.substr(cut + 1);
  const bool across = !quad && p.width_mm > p.length_mm && p.family != Family::sot23;  // long bodies read along their length
  const double room = std::max(p.length_mm, p.width_mm) * 0.74;
  const double size = std::min(room / stroke_text_width(first), quad ? 1.05 : std::min(p.length_mm, p.width_mm) * 0.24);
  const double step = second.empty() ? 0.0 : size * 0.85;
  const double off = quad ? -0.3 : 0.0;
  b.words(first, across ? Point{step + 0.15, off} : Point{0, off + step}, size, h, laser, across);
  b.words(second, across ? Point{-step + 0.15, off} : Point{0, off - step}, size * 0.92, h, laser, across);
}

}  // namespace

BodyPainter::BodyPainter(Pen& p, const Part& fitted, Solid from, std::uint64_t unit)
    : pen(p), part(fitted), light(from), dice(seed_of(fitted.refdes, unit)) {}

Solid BodyPainter::at(double x, double y, double height) const {
  const Point b = board_from_part(part, {x, y});
  return {b.x, b.y, height};
}

Solid BodyPainter::normal_on_board(Solid n) const {
  const Point tip = board_from_part(part, {n.x, n.y});
  return {tip.x - part.at_mm.x, tip.y - part.at_mm.y, n.height_mm};
}

double BodyPainter::lit(Solid local) const {
  const Solid n = normal_on_board(local);
  const double facing = n.x * light.x + n.y * light.y + n.height_mm * light.height_mm;
  return 0.52 + 0.62 * std::max(0.0, facing) + 0.12 * std::min(0.0, facing);
}

void BodyPainter::face(const std::vector<Solid>& local, Ink ink) {
  Outline line;
  for (const Solid& s : local) line.push_back(at(s.x, s.y, s.height_mm));
  pen.fill(line, ink);
}

void BodyPainter::sheen(const std::vector<Solid>& local, Ink ink, double contrast) {
  Outline line;
  double reach = 0, cx = 0, cy = 0, height = 0;
  for (const Solid& s : local) line.push_back(at(s.x, s.y, s.height_mm));
  for (const Solid& s : line) cx += s.x, cy += s.y, height = s.height_mm;
  cx /= static_cast<double>(line.size());
  cy /= static_cast<double>(line.size());
  for (const Solid& s : line) reach = std::max(reach, std::hypot(s.x - cx, s.y - cy));
  pen.fill_graded(line, {cx - light.x * reach, cy - light.y * reach, height}, shade(ink, 1 - contrast),
                  {cx + light.x * reach, cy + light.y * reach, height}, shade(ink, 1 + contrast));
}

void BodyPainter::box(Point c, double length, double width, double low, double high, Ink ink, double bevel) {
  const double hx = length / 2, hy = width / 2;
  const double ring[4][2] = {{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
  const double normal[4][2] = {{0, -1}, {1, 0}, {0, 1}, {-1, 0}};
  const Solid eye = pen.camera().eye_mm();
  const double mid = high - bevel * 0.8;
  for (int pass = 0; pass < 2; ++pass)
    for (int i = 0; i < 4; ++i) {
      const double* a = ring[i];
      const double* b = ring[(i + 1) % 4];
      const double* n = normal[i];
      const Solid on = normal_on_board({n[0], n[1], 0});
      const Solid foot = at(c.x + n[0] * hx, c.y + n[1] * hy, mid);
      const bool seen = on.x * (eye.x - foot.x) + on.y * (eye.y - foot.y) > 0;
      if (pass == 0 && seen)
        face({{c.x + a[0] * hx, c.y + a[1] * hy, low}, {c.x + b[0] * hx, c.y + b[1] * hy, low},
              {c.x + b[0] * hx, c.y + b[1] * hy, mid}, {c.x + a[0] * hx, c.y + a[1] * hy, mid}},
             shade(ink, 0.85 * lit({n[0], n[1], 0})));
      if (pass == 1)
        face({{c.x + a[0] * hx, c.y + a[1] * hy, mid}, {c.x + b[0] * hx, c.y + b[1] * hy, mid},
              {c.x + b[0] * (hx - bevel), c.y + b[1] * (hy - bevel), high}, {c.x + a[0] * (hx - bevel), c.y + a[1] * (hy - bevel), high}},
             shade(ink, 1.25 * lit({n[0] * 0.75, n[1] * 0.75, 0.65})));
    }
  const double tx = hx - bevel, ty = hy - bevel;
  sheen({{c.x - tx, c.y - ty, high}, {c.x + tx, c.y - ty, high}, {c.x + tx, c.y + ty, high}, {c.x - tx, c.y + ty, high}},
        shade(ink, lit({0, 0, 1})), 0.10);
}

void BodyPainter::cylinder(Point c, double radius, double low, double high, Ink ink, int corners) {
  const Solid eye = pen.camera().eye_mm();
  std::vector<Solid> rim;
  for (int i = 0; i < corners; ++i) {
    const double a = 2 * 3.14159265358979 * i / corners, b = 2 * 3.14159265358979 * (i + 1) / corners, m = (a + b) / 2;
    rim.push_back({c.x + radius * std::cos(a), c.y + radius * std::sin(a), high});
    const Solid on = normal_on_board({std::cos(m), std::sin(m), 0});
    const Solid foot = at(c.x + radius * std::cos(m), c.y + radius * std::sin(m), high);
    if (on.x * (eye.x - foot.x) + on.y * (eye.y - foot.y) <= 0) continue;
    const double glint = std::pow(std::max(0.0, on.x * light.x + on.y * light.y), 6);
    face({{c.x + radius * std::cos(a), c.y + radius * std::sin(a), low}, {c.x + radius * std::cos(b), c.y + radius * std::sin(b), low},
          {c.x + radius * std::cos(b), c.y + radius * std::sin(b), high}, {c.x + radius * std::cos(a), c.y + radius * std::sin(a), high}},
         shade(ink, 0.8 * lit({std::cos(m), std::sin(m), 0}) + 0.6 * glint));
  }
  sheen(rim, shade(ink, lit({0, 0, 1})), 0.16);
}

void BodyPainter::gull_wing(Point root, Point out, double reach, double width, double shoulder) {
  const Point across{-out.y, out.x};
  const double w = width / 2, knee = reach * 0.28, heel = reach * 0.5;
  const auto quad = [&](double d0, double h0, double d1, double h1, double bright) {
    const Ink ink = shade(metal, bright * dice.between(0.95, 1.05));
    face({{root.x + out.x * d0 - across.x * w, root.y + out.y * d0 - across.y * w, h0},
          {root.x + out.x * d0 + across.x * w, root.y + out.y * d0 + across.y * w, h0},
          {root.x + out.x * d1 + across.x * w, root.y + out.y * d1 + across.y * w, h1},
          {root.x + out.x * d1 - across.x * w, root.y + out.y * d1 - across.y * w, h1}}, ink);
  };
  const double slope = lit({out.x * 0.8, out.y * 0.8, 0.6});
  quad(0, shoulder, knee, shoulder, 1.0 * lit({0, 0, 1}));
  quad(knee, shoulder, heel, 0.15, 0.52 * slope);
  quad(heel, 0.15, reach, 0.12, 0.92 * lit({0, 0, 1}));
  pen.line({at(root.x + out.x * (heel + 0.05) + across.x * w * 0.35, root.y + out.y * (heel + 0.05) + across.y * w * 0.35, 0.15),
            at(root.x + out.x * reach + across.x * w * 0.35, root.y + out.y * reach + across.y * w * 0.35, 0.12)},
           width * 0.2, Ink{1, 1, 1, dice.between(0.35, 0.8)});
  // Solder runs up in front of the toe and mirrors the lamp.
  fillet({root.x + out.x * reach, root.y + out.y * reach}, {root.x + out.x * (reach + 0.3), root.y + out.y * (reach + 0.3)}, width * 1.1, 0.12);
}

void BodyPainter::fillet(Point inner, Point outer, double width, double height) {
  const double length = std::hypot(outer.x - inner.x, outer.y - inner.y);
  if (length < 1e-6) return;
  const Point out{(outer.x - inner.x) / length, (outer.y - inner.y) / length}, across{-out.y, out.x};
  const double w = width / 2, slope = lit({out.x * 0.6, out.y * 0.6, 0.8}), gloss = dice.between(0.92, 1.08);
  Outline line;
  const double taper[4][3] = {{0, -w, height}, {0, w, height}, {length, w * 0.8, 0.02}, {length, -w * 0.8, 0.02}};
  for (const auto& t : taper) line.push_back(at(inner.x + out.x * t[0] + across.x * t[1], inner.y + out.y * t[0] + across.y * t[1], t[2]));
  pen.fill_graded(line, at(inner.x, inner.y, height), shade(metal, 1.35 * slope * gloss), at(outer.x, outer.y, 0), shade(metal, 0.50 * slope));
  const double g = 0.35 + 0.2 * dice.between(-1, 1);
  pen.line({at(inner.x + out.x * length * g - across.x * w * 0.5, inner.y + out.y * length * g - across.y * w * 0.5, height * 0.5),
            at(inner.x + out.x * length * g + across.x * w * 0.5, inner.y + out.y * length * g + across.y * w * 0.5, height * 0.5)},
           std::min(0.14, width * 0.16), Ink{1, 1, 1, slope > 0.85 ? 0.85 : 0.3});
}

void BodyPainter::words(std::string_view text, Point centre, double size, double height, Ink ink, bool across) {
  const Solid c = at(centre.x, centre.y, height);
  Solid x = normal_on_board({across ? 0.0 : 1.0, across ? -1.0 : 0.0, 0}), y = normal_on_board({across ? 1.0 : 0.0, across ? 0.0 : 1.0, 0});
  pen.text(text, c, {x.x, x.y}, {y.x, y.y}, size, size * 0.13, ink);
}

void paint_body(Pen& pen, const Part& part, Solid light, std::uint64_t unit) {
  BodyPainter b(pen, part, light, unit);
  switch (part.family) {
    case Family::chip_resistor: paint_chip(b, Ink{0.80, 0.80, 0.76, 1}, Ink{0.10, 0.10, 0.115, 1}); break;
    case Family::chip_capacitor: {
      const double warm = b.dice.between(0.92, 1.08);
      paint_chip(b, Ink{0.62 * warm, 0.49 * warm, 0.36, 1}, Ink{}); break;
    }
    case Family::led: paint_led(b); break;
    case Family::diode: paint_diode(b); break;
    case Family::moulded_tantalum: paint_tantalum(b); break;
    case Family::sot23:
    case Family::dual_row:
    case Family::quad_flat:
    case Family::quad_no_lead: paint_moulded_chip(b); break;
    case Family::test_point: break;
    case Family::can_electrolytic:
    case Family::screw_terminal:
    case Family::pin_header:
    case Family::shrouded_header:
    case Family::coin_cell_holder:
    case Family::inductor:
    case Family::fuse:
    case Family::crystal:
    case Family::radio_module: paint_tall_body(b); break;
  }
}

void paint_shadow(Pen& pen, const Part& part, Solid light, double grow) {
  if (part.height_mm <= 0) return;
  const bool round = part.family == Family::can_electrolytic;
  const double hx = part.length_mm / 2 + grow, hy = part.width_mm / 2 + grow;
  const double slant = std::min(part.height_mm, 9.0) / light.height_mm;
  // The sweep of the outline from the board to the top of the body, in a few steps.
  for (int i = 0; i <= 6; ++i) {
    const double sx = -light.x * slant * i / 6.0, sy = -light.y * slant * i / 6.0;
    Outline line;
    if (round) line = circle_at({part.at_mm.x + sx, part.at_mm.y + sy}, hx);
    else
      for (Point p : {Point{-hx, -hy}, Point{hx, -hy}, Point{hx, hy}, Point{-hx, hy}}) {
        const Point b = board_from_part(part, p);
        line.push_back({b.x + sx, b.y + sy, 0});
      }
    pen.fill(line, Ink{0, 0, 0, 1});
  }
}

}  // namespace demo_board
