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
// Turned end for end it is the same: a resistor, say, with two ends.
bool has_no_way_round(const Mark& part);

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
// source. The focus threshold (pictures/sharpness.h) is measured, tests/unit/judging_focus_threshold_test.cpp. 43 views
// of parts of which the way round matters, on the demo board's photos: as they are 2.0 to 5.6, median 2.7; blurred by
// a Gaussian of 0.05 mm 1.77 to 4.6; by 0.1 mm 1.44 to 2.7; by 0.21 mm, which halves the contrast of a 0.5 mm dot, 1.18
// to 1.40. 48 squares of a real photo of a board: 2.0 to 6.8, median 3.7; by 0.1 mm 1.53 to 3.0, by 0.21 mm 1.14 to 1.56.
// With noise of 5 grey levels a channel put on after the blur all of these stay within 0.06. At 1.7 every sharp one passes
// and every half-contrast one is refused, with or without noise; of those blurred by 0.15 mm one in 40 passes on the
// demo, one in three on the real photo.
constexpr double least_px_per_mm = 10;
constexpr double least_short_side_px = 20;
constexpr double least_focus = 1.7;

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
