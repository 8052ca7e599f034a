// What lies over the photo, as strokes, dots and labels that any canvas can draw.
//
// One pure function makes the picture for the window, the exported drawing and the record, so that they
// cannot disagree. Points are in photo pixels; widths and symbols are the canvas's, by role
// (overlay/colours.h), so that a line stays readable at every zoom. What is outside the view is left out;
// what would be smaller than a few screen pixels becomes a dot.
#pragma once

#include <cstdint>
#include <set>

#include "geometry/photo_map.h"
#include "overlay/board_shapes.h"
#include "overlay/colours.h"
#include "overlay/view.h"

namespace boardlore {

struct Stroke {
  std::vector<PhotoPoint> points;
  bool closed = false;
  bool filled = false;  // with the role's colour, opaque
  Role role = Role::part;
  MarkPtr mark;         // nullptr: belongs to none
};

enum class DotShape { disc, ring, cross, diamond, square };

struct Dot {
  PhotoPoint at;
  DotShape shape = DotShape::disc;
  double radius_px = 4;  // on the screen
  Role role = Role::part;
  MarkPtr mark;
};

struct Label {
  std::string text;
  PhotoPoint anchor;        // middle of what it names
  double extent_px = 0;     // how far that reaches, photo pixels
  std::uint64_t priority = 0;
  Role role = Role::part;
  MarkPtr mark;
};

struct OverlayScene {
  std::vector<Stroke> strokes;  // in drawing order
  std::vector<Dot> dots;
  std::vector<Label> labels;    // all that could be shown; label_layout.h says which are
};

// What would be hot under a nozzle.
struct HeatedCircle {
  BoardPoint centre;
  double radius_mm = 0;
};

// How many names are shown: none, those of marks large enough on the screen to tell apart, all that fit.
enum class LabelDensity { none, sparse, full };

struct OverlayOptions {
  std::set<Id> selected;
  Id hovered;                              // empty: none
  bool parts = true, pin1 = true, keepouts = true, probes = true, notes = true;
  bool fiducials = false;                  // with residuals drawn out, as the registration has them
  LabelDensity labels = LabelDensity::full;
  std::optional<PhotoRect> visible;        // nullopt: all
  double zoom = 1;                         // screen pixels a photo pixel, for the level of detail
  std::optional<PhotoPoint> cursor;        // the label nearest to it comes first
  std::optional<HeatedCircle> heated;
  double residual_enlarged = 20;           // residuals are drawn this many times their length
};

// Below this many screen pixels a part is drawn as a dot. Common practice, no source.
constexpr double dot_below_px = 5;
constexpr double pin_names_from_px = 13;   // distance of neighbouring pins on the screen

OverlayScene overlay_scene(const BoardShapes& shapes, const PhotoMap& map, const OverlayOptions& options);

// The fiducials of a registration and where its map puts them; drawn where options.fiducials.
void add_fiducials(OverlayScene& scene, const Registration& registration, const PhotoMap& map,
                   const OverlayOptions& options);

// The side's own mark under a point of the photo: the smallest outline around it, else the nearest point
// mark within `reach_px` photo pixels; nullptr: none.
MarkPtr mark_at(const BoardShapes& shapes, const PhotoMap& map, PhotoPoint at, double reach_px,
                const OverlayOptions& options = {});

// Of marks whose middle lies in the rectangle spanned on the photo, by id.
std::vector<Id> marks_in(const BoardShapes& shapes, const PhotoMap& map, const PhotoRect& rect,
                         const OverlayOptions& options = {});

}  // namespace boardlore
