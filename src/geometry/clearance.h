// Clearance: how far a part's outline is from what must not be heated or knocked.
//
// A technician asks this before hot air goes on. An answer too large ruins a board, so every distance comes
// with a lower bound: the registration's error and both marks' placing errors are taken off first, added up,
// not averaged. Distances are between outlines, not centres; touching or overlapping gives 0, never less. The
// distances of polygons are Boost.Geometry's.
#pragma once

#include <functional>

#include "domain/layer.h"
#include "domain/problem.h"
#include "geometry/outline.h"

namespace boardlore {

struct ClearanceQuestion {
  double nozzle_diameter_mm = 0;  // 0: no nozzle, distances only
  double within_mm = 10;          // what is farther from the outline and not heated is left out
  // Registration error at a point of the board (PhotoMap::error_mm); empty: 0.
  std::function<double(BoardPoint)> registration_error_mm;
  bool scale_known = false;       // true: a photo of the job gives millimetres, whatever the layer says
};

// Where a mark does not say how exactly it was placed: two pixels at 20 px per mm (common practice, no source).
constexpr double assumed_place_error_mm = 0.1;

struct Clearance {
  Id mark;
  std::string label;         // "C14", "keep-out (heat)"
  MarkKind kind = MarkKind::part;
  bool other_side = false;   // heat goes through the board: a weaker criterion than air on the same side
  double distance_mm = 0;    // between outlines
  double error_mm = 0;
  double at_least_mm = 0;    // distance less error, not under 0
  double from_axis_mm = 0;   // nearest point of its outline to the nozzle's axis, the part's centre
  // In the nozzle's circle about the part's centre, or, where the part is larger than the circle and the nozzle
  // has to travel over it, within the nozzle's radius of the part's outline. The error is on the safe side.
  bool heated = false;
  std::string reason, advice;  // a keep-out's own words
  std::optional<double> max_temperature_c, height_mm;
};

struct ClearanceReport {
  Id part;
  BoardPoint axis;            // the part's centre
  double heated_radius_mm = 0;
  bool nozzle_travels = false;
  std::vector<Clearance> found;  // sorted by at_least, then distance, then id
};

// Keep-outs and parts of both sides; the part itself is left out. Refused: no such mark, no scale ("board has no
// scale": neither a size nor a registered photo), a nozzle or reach that is negative or not finite.
Result<ClearanceReport> clearances(const Layer& layer, const Id& part, const ClearanceQuestion& question);

// 0 where they touch or overlap, also where one lies inside the other. Corners must be finite.
double outline_distance_mm(const Shape& a, const Shape& b);

}  // namespace boardlore
