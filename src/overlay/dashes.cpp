#include "overlay/dashes.h"

#include <algorithm>

namespace boardlore {
namespace {

// The stretch of from + t * (to - from), t in 0..1, inside the view (Liang and Barsky 1984); empty: t0 > t1.
struct Stretch {
  double t0 = 0, t1 = 1;
};

Stretch inside(ScreenPoint from, ScreenPoint to, const ScreenRect& view) {
  Stretch s;
  const auto cut = [&](double delta, double room) {  // delta * t <= room
    if (delta == 0) {
      if (room < 0) s.t1 = -1;
    } else if (delta > 0) {
      s.t1 = std::min(s.t1, room / delta);
    } else {
      s.t0 = std::max(s.t0, room / delta);
    }
  };
  const double dx = to.x - from.x, dy = to.y - from.y;
  cut(dx, view.right - from.x);
  cut(-dx, from.x - view.left);
  cut(dy, view.bottom - from.y);
  cut(-dy, from.y - view.top);
  return s;
}

}  // namespace

std::vector<Dash> dashes(const std::vector<ScreenPoint>& points, bool closed, double on, double off,
                         const ScreenRect& view) {
  std::vector<Dash> made;
  const std::size_t edges = points.size() < 2 ? 0 : closed ? points.size() : points.size() - 1;
  const double period = on + off;
  double walked = 0;  // along the whole line
  for (std::size_t i = 0; i < edges; ++i) {
    const ScreenPoint from = points[i], to = points[(i + 1) % points.size()];
    const double length = std::hypot(to.x - from.x, to.y - from.y);
    if (!(length > 0) || !std::isfinite(length)) continue;
    const Stretch seen = inside(from, to, view);
    const auto at = [&](double along) {
      const double t = along / length;
      return ScreenPoint{from.x + t * (to.x - from.x), from.y + t * (to.y - from.y)};
    };
    if (seen.t0 <= seen.t1) {
      const double first = walked + seen.t0 * length, last = walked + seen.t1 * length;
      for (double start = std::floor(first / period) * period; start < last; start += period) {
        const double a = std::max(start, first), b = std::min(start + on, last);
        if (a < b) made.push_back({at(a - walked), at(b - walked)});
      }
    }
    walked += length;
  }
  return made;
}

}  // namespace boardlore
