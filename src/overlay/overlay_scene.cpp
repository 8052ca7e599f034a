#include "overlay/overlay_scene.h"

#include <algorithm>
#include <limits>

namespace boardlore {
namespace {

bool shown(const Mark& mark, const OverlayOptions& options) {
  switch (mark.kind) {
    case MarkKind::part: return options.parts;
    case MarkKind::pin1: return options.pin1;
    case MarkKind::keepout: return options.keepouts;
    case MarkKind::probe: return options.probes;
    case MarkKind::note: return options.notes;
  }
  return false;
}

Role role_of(MarkKind kind) {
  switch (kind) {
    case MarkKind::part: return Role::part;
    case MarkKind::pin1: return Role::pin1;
    case MarkKind::keepout: return Role::keepout;
    case MarkKind::probe: return Role::probe;
    case MarkKind::note: return Role::note;
  }
  return Role::part;
}

// Back to front: areas first, then bodies, then points, then what is chosen.
int rank_of(Role role) {
  switch (role) {
    case Role::board: return 0;
    case Role::keepout: return 1;
    case Role::heated: return 2;
    case Role::part: return 3;
    case Role::note: return 4;
    case Role::probe: return 5;
    case Role::hovered: return 6;
    case Role::selected: return 7;
    case Role::pin1: return 8;
    case Role::fiducial: return 9;
    case Role::residual: return 10;
  }
  return 0;
}

// The part of the board in view, in mm; nullopt: all of it may be (no view given, or the horizon is in it).
std::optional<BoardBox> board_box_of(const std::optional<PhotoRect>& view, const PhotoMap& map) {
  if (!view) return std::nullopt;
  BoardBox box{1e18, 1e18, -1e18, -1e18};
  // Corners and edge middles: a lens term bends edges outwards.
  const double xs[] = {view->left, (view->left + view->right) / 2, view->right};
  const double ys[] = {view->top, (view->top + view->bottom) / 2, view->bottom};
  for (const double x : xs)
    for (const double y : ys) {
      const auto board = map.board_from({x, y});
      if (!board) return std::nullopt;
      box.left_mm = std::min(box.left_mm, board->x_mm);
      box.right_mm = std::max(box.right_mm, board->x_mm);
      box.bottom_mm = std::min(box.bottom_mm, board->y_mm);
      box.top_mm = std::max(box.top_mm, board->y_mm);
    }
  const double margin_mm = 0.02 * std::max(box.right_mm - box.left_mm, box.top_mm - box.bottom_mm) + 0.5;
  return BoardBox{box.left_mm - margin_mm, box.bottom_mm - margin_mm, box.right_mm + margin_mm,
                  box.top_mm + margin_mm};
}

bool apart(const BoardBox& a, const BoardBox& b) {
  return a.right_mm < b.left_mm || b.right_mm < a.left_mm || a.top_mm < b.bottom_mm || b.top_mm < a.bottom_mm;
}

// nullopt: one of the points is beyond the horizon.
std::optional<std::vector<PhotoPoint>> on_photo(const std::vector<BoardPoint>& points, const PhotoMap& map) {
  std::vector<PhotoPoint> mapped;
  mapped.reserve(points.size());
  for (const BoardPoint& point : points) {
    const auto photo = map.photo_from(point);
    if (!photo) return std::nullopt;
    mapped.push_back(*photo);
  }
  return mapped;
}

std::vector<BoardPoint> circle(BoardPoint centre, double radius_mm) {
  std::vector<BoardPoint> points;
  for (int i = 0; i < 72; ++i) {
    const double angle = 2 * 3.14159265358979323846 * i / 72;
    points.push_back({centre.x_mm + radius_mm * std::cos(angle), centre.y_mm + radius_mm * std::sin(angle)});
  }
  return points;
}

std::string label_text(const Mark& mark) {
  if (!mark.refdes.empty()) return mark.refdes;
  std::string text = mark.text;
  if (mark.kind == MarkKind::keepout) text = text.empty() ? mark.reason : mark.reason + ": " + text;
  constexpr std::size_t longest = 28;  // bytes; a note's full text is on its card
  if (text.size() > longest) {
    std::size_t cut = longest;
    while (cut > 0 && (static_cast<unsigned char>(text[cut]) & 0xC0U) == 0x80U) --cut;
    text = text.substr(0, cut) + "…";
  }
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

// Whole classes of importance above the fixed order: chosen, under the cursor, then parts before notes.
std::uint64_t priority_of(const MarkShape& shape, const OverlayOptions& options) {
  const Mark& mark = *shape.mark;
  std::uint64_t rank = mark.kind == MarkKind::part ? 2 : mark.kind == MarkKind::keepout ? 1 : 3;
  if (mark.kind == MarkKind::part && shape.extent_mm > 5) rank = 4;  // names people steer by
  if (options.hovered == mark.id && !mark.id.empty()) rank = 6;
  if (options.selected.count(mark.id)) rank = 7;
  return rank << 60 | shape.order >> 5;
}

class SceneMaker {
 public:
  SceneMaker(const PhotoMap& map, const OverlayOptions& options) : map_(map), options_(options) {}

  void add(const MarkShape& shape) {
    const Mark& mark = *shape.mark;
    const auto at = map_.photo_from(shape.middle);
    if (!at) return;
    const double extent_px = shape.extent_mm * map_.px_per_mm(shape.middle);
    const double on_screen = extent_px * options_.zoom;
    const bool selected = options_.selected.count(mark.id) > 0;
    const bool hovered = !selected && !mark.id.empty() && options_.hovered == mark.id;
    const Role role = selected ? Role::selected : hovered ? Role::hovered : role_of(mark.kind);

    if (shape.outline.empty()) {
      add_point(shape, *at, role_of(mark.kind));
      if (selected || hovered) scene_.dots.push_back({*at, DotShape::square, 11, role, shape.mark});
    } else if (on_screen < dot_below_px && !selected && !hovered) {
      scene_.dots.push_back({*at, DotShape::disc, 2, role, shape.mark});
    } else {
      add_body(shape, role, on_screen);
    }
    add_label(shape, *at, extent_px, on_screen, selected || hovered);
  }

  void add_heated(const HeatedCircle& heated) {
    if (auto points = on_photo(circle(heated.centre, heated.radius_mm), map_))
      scene_.strokes.push_back({std::move(*points), true, false, Role::heated, nullptr});
  }

  void expect(std::size_t marks) {
    if (options_.labels != LabelDensity::none) scene_.labels.reserve(marks);
    scene_.strokes.reserve(marks);
  }

  OverlayScene finished() {
    std::stable_sort(scene_.strokes.begin(), scene_.strokes.end(),
                     [](const Stroke& a, const Stroke& b) { return rank_of(a.role) < rank_of(b.role); });
    std::stable_sort(scene_.dots.begin(), scene_.dots.end(),
                     [](const Dot& a, const Dot& b) { return rank_of(a.role) < rank_of(b.role); });
    if (options_.cursor) {
      const auto nearest = std::min_element(
          scene_.labels.begin(), scene_.labels.end(), [&](const Label& a, const Label& b) {
            return distance_px(a.anchor, *options_.cursor) < distance_px(b.anchor, *options_.cursor);
          });
      if (nearest != scene_.labels.end())
        nearest->priority = std::max(nearest->priority, std::uint64_t{5} << 60 | 1);
    }
    return std::move(scene_);
  }

 private:
  void add_point(const MarkShape& shape, PhotoPoint at, Role role) {
    switch (role) {
      case Role::probe:
        scene_.dots.push_back({at, DotShape::cross, 9, role, shape.mark});
        scene_.dots.push_back({at, DotShape::ring, 5, role, shape.mark});
        break;
      case Role::note: scene_.dots.push_back({at, DotShape::diamond, 6, role, shape.mark}); break;
      case Role::keepout: scene_.dots.push_back({at, DotShape::cross, 7, role, shape.mark}); break;
      case Role::pin1: scene_.dots.push_back({at, DotShape::disc, 5, role, shape.mark}); break;
      default: scene_.dots.push_back({at, DotShape::ring, 5, role, shape.mark});
    }
  }

  void add_body(const MarkShape& shape, Role role, double on_screen) {
    auto outline = on_photo(shape.outline, map_);
    if (!outline) return;
    const bool drawn_large = on_screen >= 4 * dot_below_px;
    if (drawn_large)
      for (const auto& [from, to] : shape.hatching)
        if (const auto a = map_.photo_from(from), b = map_.photo_from(to); a && b)
          scene_.strokes.push_back({{*a, *b}, false, false, Role::keepout, shape.mark});
    scene_.strokes.push_back({std::move(*outline), true, false, role, shape.mark});
    if (shape.pin1 && options_.pin1) {
      if (auto wedge = on_photo(shape.pin1_wedge, map_); wedge && !wedge->empty())
        scene_.strokes.push_back({std::move(*wedge), true, true, Role::pin1, shape.mark});
      if (const auto pin1 = map_.photo_from(*shape.pin1); pin1 && drawn_large)
        scene_.dots.push_back({*pin1, DotShape::disc, std::clamp(on_screen / 24, 2.0, 5.0), Role::pin1, shape.mark});
    }
    if (role == Role::selected) add_pins(shape);
  }

  void add_pins(const MarkShape& shape) {
    if (shape.pins.size() < 2) return;
    const double pitch_px = distance_mm(shape.pins[0].at, shape.pins[1].at) * map_.px_per_mm(shape.middle) *
                            options_.zoom;
    if (pitch_px < dot_below_px) return;
    for (const PinShape& pin : shape.pins) {
      const auto at = map_.photo_from(pin.at);
      if (!at) continue;
      scene_.dots.push_back({*at, DotShape::ring, std::clamp(pitch_px / 6, 2.0, 5.0), Role::selected, shape.mark});
      if (options_.labels != LabelDensity::none && pitch_px >= pin_names_from_px)
        scene_.labels.push_back({pin.name, *at, 0, std::uint64_t{1} << 60 | fixed_order(pin.name) >> 5,
                                 Role::selected, shape.mark});
    }
  }

  void add_label(const MarkShape& shape, PhotoPoint at, double extent_px, double on_screen, bool chosen) {
    if (options_.labels == LabelDensity::none) return;
    const bool area = shape.mark->kind == MarkKind::part || shape.mark->kind == MarkKind::keepout;
    const double from_px = options_.labels == LabelDensity::sparse ? 40 : 8;
    if (!chosen && area && !shape.outline.empty() && on_screen < from_px) return;  // a bare point has room for its name
    std::string text = label_text(*shape.mark);
    if (text.empty()) return;
    scene_.labels.push_back({std::move(text), at, extent_px, priority_of(shape, options_),
                             role_of(shape.mark->kind), shape.mark});
  }

  const PhotoMap& map_;
  const OverlayOptions& options_;
  OverlayScene scene_;
};

bool inside(const std::vector<PhotoPoint>& polygon, PhotoPoint at) {
  bool in = false;
  for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++) {
    const PhotoPoint a = polygon[i], b = polygon[j];
    if ((a.y_px > at.y_px) != (b.y_px > at.y_px) &&
        at.x_px < (b.x_px - a.x_px) * (at.y_px - a.y_px) / (b.y_px - a.y_px) + a.x_px)
      in = !in;
  }
  return in;
}

}  // namespace

OverlayScene overlay_scene(const BoardShapes& shapes, const PhotoMap& map, const OverlayOptions& options) {
  SceneMaker maker(map, options);
  const auto in_view = board_box_of(options.visible, map);
  std::size_t in_view_count = 0;
  for (const BoardBox& box : shapes.boxes) in_view_count += !in_view || !apart(box, *in_view) ? 1 : 0;
  maker.expect(in_view_count);
  for (std::size_t i = 0; i < shapes.shapes.size(); ++i) {
    if (in_view && apart(shapes.boxes[i], *in_view)) continue;
    if (shown(*shapes.shapes[i]->mark, options)) maker.add(*shapes.shapes[i]);
  }
  if (options.heated) maker.add_heated(*options.heated);
  return maker.finished();
}

void add_fiducials(OverlayScene& scene, const Registration& registration, const PhotoMap& map,
                   const OverlayOptions& options) {
  if (!options.fiducials) return;
  for (const Fiducial& fiducial : registration.fiducials) {
    scene.dots.push_back({fiducial.photo, DotShape::cross, 10, Role::fiducial, nullptr});
    if (const auto mapped = map.photo_from(fiducial.board)) {
      const double times = options.residual_enlarged;
      const PhotoPoint end{fiducial.photo.x_px + times * (mapped->x_px - fiducial.photo.x_px),
                           fiducial.photo.y_px + times * (mapped->y_px - fiducial.photo.y_px)};
      scene.strokes.push_back({{fiducial.photo, end}, false, false, Role::residual, nullptr});
      scene.dots.push_back({end, DotShape::square, 3, Role::residual, nullptr});
    }
    if (!fiducial.name.empty())
      scene.labels.push_back({fiducial.name, fiducial.photo, 0, std::uint64_t{6} << 60, Role::fiducial, nullptr});
  }
}

MarkPtr mark_at(const BoardShapes& shapes, const PhotoMap& map, PhotoPoint at, double reach_px,
                const OverlayOptions& options) {
  const auto in_view = board_box_of(
      PhotoRect{at.x_px - reach_px, at.y_px - reach_px, at.x_px + reach_px, at.y_px + reach_px}, map);
  MarkPtr nearest, around;
  double nearest_px = reach_px, smallest_mm = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < shapes.shapes.size(); ++i) {
    const MarkShape& shape = *shapes.shapes[i];
    if ((in_view && apart(shapes.boxes[i], *in_view)) || !shown(*shape.mark, options)) continue;
    if (shape.outline.empty()) {
      const auto point = map.photo_from(shape.middle);
      if (point && distance_px(*point, at) <= nearest_px) nearest = shape.mark, nearest_px = distance_px(*point, at);
    } else if (shape.extent_mm < smallest_mm) {
      if (const auto outline = on_photo(shape.outline, map); outline && inside(*outline, at))
        around = shape.mark, smallest_mm = shape.extent_mm;
    }
  }
  return nearest ? nearest : around;  // a point mark on top of a body is the harder one to hit
}

std::vector<Id> marks_in(const BoardShapes& shapes, const PhotoMap& map, const PhotoRect& rect,
                         const OverlayOptions& options) {
  std::vector<Id> found;
  for (const auto& shape : shapes.shapes) {
    if (!shown(*shape->mark, options)) continue;
    if (const auto at = map.photo_from(shape->middle); at && rect.contains(*at)) found.push_back(shape->mark->id);
  }
  return found;
}

}  // namespace boardlore
