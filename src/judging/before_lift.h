// The before-lift check: which way round it was, what is beside it, and whether the spare is the same part.
//
// What goes wrong at the bench is a chip put back turned, a plastic connector melted, a tiny part knocked off, and
// a spare that only looks the same. Each has a point here that is open until it is met, or passed over with a reason
// that stays in the record. Pure: photos are measured by the caller (pictures/sharpness.h) and come in as numbers.
#pragma once

#include "domain/job.h"
#include "geometry/clearance.h"
#include "judging/cautions.h"
#include "judging/marking_match.h"

namespace boardlore {

enum class PointState { met, open, passed_over };
std::string_view point_state_name(PointState state);  // "met", "open", "passed over"

struct CheckPoint {
  std::string point;   // as an Acknowledgement names it: "pin1", "orientation-photo", "neighbour:<mark id>", "spare", ...
  std::string title;   // "pin 1 or polarity is marked"
  PointState state = PointState::open;
  std::string found;   // what was found, with its numbers and thresholds
  std::string to_do;   // what closes it; empty where it is not open
  bool by_acknowledging = false;  // saying "seen" closes it; the others want the thing itself, or a reason
  std::string reason, by;         // of the one who went on over it
};

struct BeforeLiftReport {
  Id mark;
  std::string refdes;
  std::vector<CheckPoint> points;
  std::vector<Caution> cautions;
  std::optional<ClearanceReport> clearance;  // nullopt: could not be worked out (said in the neighbours' point)
  std::size_t open_count() const;
};

// A photo of the job that might show how the part sat before anything was done to it.
struct OrientationCandidate {
  Id photo;
  std::string file;
  PhotoPoint low, high;        // corners of the part's region, a little larger than its outline
  double px_per_mm = 0;
  double short_side_px = 0;    // of the part
  bool whole = false;          // the region lies inside the picture
  bool clock_remark = false;   // the camera's clock says it was taken days before the job was opened
};
// Registered photos of the job, of the part's side, taken before the first action on it, best scale first.
std::vector<OrientationCandidate> orientation_candidates(const Layer& layer, const Job& job, const Mark& part);

// A dot of half a millimetre is then five pixels wide; a part's short side is 20 px or more. Common practice, no
// source. The focus threshold is measured (tests/unit/judging_focus_threshold_test.cpp): 43 views of parts of which the
// way round matters, on the demo board's photos at some 15 px per mm. As they are: 0.034 to 0.66, median 0.28. Blurred
// by a Gaussian of 0.21 mm, which halves the contrast of a 0.5 mm dot: 0.0006 to 0.010; by 0.1 mm: 0.0035 to 0.079.
// 0.03 is the highest round value that no sharp part is under; every half-contrast one is, also with noise of 1 grey
// level a channel added after the blur (up to 0.029). It is no proof of sharpness: with noise of 2 levels only 28 % of
// those blurred are under it, with 3 only 14 %, and the measure falls where the same dot covers more pixels.
constexpr double least_px_per_mm = 10;
constexpr double least_short_side_px = 20;
constexpr double least_focus = 0.03;

struct BeforeLiftQuestion {
  double nozzle_diameter_mm = 0;               // 0: no hot air; neighbours within `without_nozzle_mm` still count
  std::map<Id, double> focus;                  // photo -> focus measure of the part's region
  std::function<double(BoardPoint)> registration_error_mm;
  bool scale_known = false;
  std::optional<Process> plan;                 // for cautions of temperature
  Timestamp now;
};
// Without a nozzle: an iron's tip and tweezers reach this far (common practice, no source).
constexpr double without_nozzle_mm = 2;

// Refused: no such mark, or not a part.
Result<BeforeLiftReport> before_lift(const Layer& layer, const Job& job, const Id& part, const BeforeLiftQuestion& question);

// Is this a point of the report that may be closed so? Refused: no such point; no reason where one is wanted.
Result<Done> may_acknowledge(const BeforeLiftReport& report, std::string_view point, std::string_view reason);

}  // namespace boardlore
