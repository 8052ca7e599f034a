#include "judging/before_lift.h"

#include <algorithm>
#include <cstdio>

#include "geometry/photo_map.h"
#include "geometry/pins.h"
#include "judging/designator.h"

namespace boardlore {

bool has_no_way_round(const Mark& part) {
  const PartClass c = part_class(part.refdes);
  return (c == PartClass::resistor || c == PartClass::inductor || c == PartClass::ferrite || c == PartClass::fuse || c == PartClass::link) && (!part.package || part.package->pins <= 2);
}

namespace {

template <class... Args>
std::string printed(const char* format, Args... args) {
  char text[400];
  std::snprintf(text, sizeof text, format, args...);
  return text;
}

std::optional<Timestamp> first_action_on(const Job& job, const Id& mark) {
  std::optional<Timestamp> first;
  for (const Action& action : job.actions)
    if (action.mark == mark && (!first || action.at < *first)) first = action.at;
  return first;
}

// The last word counts: somebody may acknowledge first and give a reason later.
const Acknowledgement* acknowledgement_of(const Job& job, const Id& mark, std::string_view point) {
  const Acknowledgement* last = nullptr;
  for (const Acknowledgement& a : job.acknowledgements)
    if (a.mark == mark && a.point == point && (!last || last->at <= a.at)) last = &a;
  return last;
}

void settle(CheckPoint& point, const Job& job, const Id& mark) {
  if (point.state != PointState::open) {
    point.to_do.clear();
    return;
  }
  const Acknowledgement* said = acknowledgement_of(job, mark, point.point);
  if (!said || (said->reason.empty() && !point.by_acknowledging)) return;
  point.state = said->reason.empty() ? PointState::met : PointState::passed_over;
  point.reason = said->reason;
  point.by = said->by;
  point.to_do.clear();
  if (said->reason.empty()) point.found += "; acknowledged" + (said->by.empty() ? "" : " by " + said->by);
}

CheckPoint pin1_point(const Mark& part) {
  CheckPoint point{"pin1", "pin 1 or polarity is marked", PointState::open, "", "", false, "", ""};
  const bool package_pin1 = part.package && pin1_of(part).has_value();
  if (part.pin1) {
    point.state = PointState::met;
    point.found = "pin 1 is marked";
  } else if (!part.polarity.empty() || !part.orientation.on_part.empty()) {
    point.state = PointState::met;
    point.found = part.polarity.empty() ? "" : "the pin-1 end is the " + part.polarity;
  } else if (package_pin1 && part.package->family != PackageFamily::two_terminal) {
    point.state = PointState::met;
    point.found = "pin 1 follows from the package and its rotation";
  }
  if (!part.orientation.on_part.empty()) point.found += (point.found.empty() ? "" : "; ") + std::string("on the part: ") + part.orientation.on_part;
  if (!part.orientation.on_board.empty()) point.found += (point.found.empty() ? "" : "; ") + std::string("on the board: ") + part.orientation.on_board;
  if (point.state == PointState::open) {
    if (point.found.empty()) point.found = "neither pin 1 nor a polarity is marked";
    point.to_do = "mark pin 1 or the polarity end; for a part without one give that as the reason";
  }
  if (point.state == PointState::open && has_no_way_round(part)) {
    point.state = PointState::met;
    point.found = "a " + std::string(class_name(part_class(part.refdes))) + " with two ends has no way round";
  }
  return point;
}

CheckPoint photo_point(const Layer& layer, const Job& job, const Mark& part, const std::map<Id, double>& focus) {
  CheckPoint point{"orientation-photo", "an orientation photo from before any work shows the part sharply", PointState::open, "", "", false, "", ""};
  const auto candidates = orientation_candidates(layer, job, part);
  std::string best;
  for (const OrientationCandidate& c : candidates) {
    const auto measured = focus.find(c.photo);
    std::string words = c.file + printed(": %.1f px per mm (%.0f wanted), short side %.0f px (%.0f wanted)", c.px_per_mm, least_px_per_mm,
                                         c.short_side_px, least_short_side_px);
    words += measured != focus.end() ? printed(", focus %.2f (%.2f wanted)", measured->second, least_focus) : ", focus not measured";
    if (!c.whole) words += ", the part is cut off by the edge";
    if (c.clock_remark) words += "; its camera's clock says days before the job was opened";
    const bool good = c.whole && c.px_per_mm >= least_px_per_mm && c.short_side_px >= least_short_side_px && measured != focus.end() &&
                      measured->second >= least_focus;
    if (good) {
      point.state = PointState::met;
      point.found = words;
      return point;
    }
    if (best.empty()) best = words;
  }
  const bool worked_on = first_action_on(job, part.id).has_value();
  point.found = !best.empty() ? best
                              : "no registered photo of this job shows the part's side" + std::string(worked_on ? " from before the first action on it" : "");
  point.to_do = worked_on ? "work has begun: if there is an earlier photo, add and register it; else give the reason"
                          : "take a photo of the part now, closer and sharp, add it to the job and register it";
  return point;
}

std::string what_to_do(const Clearance& c) {
  if (!c.advice.empty()) return c.advice;
  if (c.reason == "knock" || c.reason == "height") return "remove first or guard it";
  if (c.reason == "solvent") return "keep solvent off";
  if (c.reason == "static") return "earth yourself and the tool";
  if (c.other_side) return "watch the other side: hold it up, lower the temperature";
  return c.heated ? "shield, remove first or lower the temperature" : "mind it with tip and tweezers";
}

void neighbour_points(BeforeLiftReport& report, const Job& job, const Layer& layer, const BeforeLiftQuestion& question) {
  ClearanceQuestion ask;
  ask.nozzle_diameter_mm = question.nozzle_diameter_mm;
  ask.within_mm = question.nozzle_diameter_mm > 0 ? question.nozzle_diameter_mm / 2 : without_nozzle_mm;
  ask.registration_error_mm = question.registration_error_mm;
  ask.scale_known = question.scale_known;
  const auto clearance = clearances(layer, report.mark, ask);
  if (!clearance) {
    CheckPoint point{"neighbours", "what lies beside the part is known", PointState::open, clearance.problem().found,
                     "give the board its size or register a photo", false, "", ""};
    settle(point, job, report.mark);
    report.points.push_back(std::move(point));
    return;
  }
  report.clearance = *clearance;
  for (const Clearance& c : clearance->found) {
    const bool counts = question.nozzle_diameter_mm > 0 ? c.heated : !c.other_side;
    if (!counts) continue;
    CheckPoint point{"neighbour:" + c.mark.text, c.label + (c.other_side ? " on the other side" : " beside the part"), PointState::open, "", what_to_do(c), true, "", ""};
    point.found = c.distance_mm < 0.005 ? std::string(c.other_side ? "right below it" : "touching it") : printed("%.2f mm away, at least %.2f mm", c.distance_mm, c.at_least_mm);
    // Through the board less heat comes than beside the part, and how much less nobody knows here.
    if (c.heated) point.found += c.other_side ? ", under the heated circle (some heat comes through the board)" : ", in the heated circle";
    if (c.max_temperature_c) point.found += printed(", %.0f °C at most", *c.max_temperature_c);
    if (c.height_mm) point.found += printed(", %.1f mm high", *c.height_mm);
    point.found += "; " + what_to_do(c);
    settle(point, job, report.mark);
    report.points.push_back(std::move(point));
  }
}

CheckPoint spare_point(const Job& job, const Mark& part) {
  CheckPoint point{"spare", "the spare's marking matches the accept list", PointState::open, "", "", false, "", ""};
  const SpareCheck* last = nullptr;
  for (const SpareCheck& check : job.spares)
    if (check.mark == part.id && (!last || last->at <= check.at)) last = &check;
  const bool lists_empty = part.accept.empty() && part.refuse.empty();
  if (last) {
    // The lists may have changed since: the marking seen is held against them as they are now.
    const MarkingMatch match = match_marking(part.accept, part.refuse, last->marking_seen);
    point.found = match.words;
    if (match.verdict == SpareVerdict::accepted) point.state = PointState::met;
    point.to_do = match.verdict == SpareVerdict::refused ? "find another spare" : "put the marking on the accept list if it is known to fit";
  } else if (lists_empty) {
    point.found = "this part has no accept and no refuse list: nothing to hold a spare against";
    point.to_do = "write down which markings fit, or acknowledge";
  } else {
    point.found = "no spare was held against the lists yet";
    point.to_do = "read the spare's marking and match it";
  }
  point.by_acknowledging = lists_empty;
  return point;
}

CheckPoint readings_point(const Job& job, const Mark& part) {
  CheckPoint point{"readings", "readings wanted before the work are there", PointState::open, "", "", false, "", ""};
  const auto first = first_action_on(job, part.id);
  std::string missing;
  std::size_t there = 0;
  for (const WantedReading& wanted : part.wanted) {
    const bool found = std::any_of(job.readings.begin(), job.readings.end(), [&](const Reading& r) {
      const bool same_part = r.mark == part.id || (r.mark.empty() && !part.refdes.empty() && r.refdes == part.refdes);
      return same_part && r.pin == wanted.pin && r.quantity == wanted.quantity && (!first || r.taken_at <= *first);
    });
    if (found) ++there;
    else missing += (missing.empty() ? "" : ", ") + std::string(quantity_name(wanted.quantity)) + (wanted.pin.empty() ? "" : " of pin " + wanted.pin);
  }
  if (missing.empty()) {
    point.state = PointState::met;
    point.found = part.wanted.empty() ? "none are wanted" : std::to_string(there) + " of " + std::to_string(part.wanted.size());
  } else {
    point.found = "missing: " + missing;
    point.to_do = "measure " + missing;
  }
  return point;
}

CheckPoint cautions_point(const std::vector<Caution>& cautions) {
  CheckPoint point{"cautions", "the cautions are read", PointState::open, "", "read them and acknowledge", true, "", ""};
  for (const Caution& caution : cautions) point.found += (point.found.empty() ? "" : ", ") + caution.key;
  return point;
}

}  // namespace

std::string_view point_state_name(PointState state) {
  return state == PointState::met ? "met" : state == PointState::open ? "open" : "passed over";
}

std::size_t BeforeLiftReport::open_count() const {
  return static_cast<std::size_t>(std::count_if(points.begin(), points.end(), [](const CheckPoint& p) { return p.state == PointState::open; }));
}

std::vector<OrientationCandidate> orientation_candidates(const Layer&, const Job& job, const Mark& part) {
  const auto first = first_action_on(job, part.id);
  const BoundingBox box = bounding_box(shape_of(part));
  const double width = box.high.x_mm - box.low.x_mm, height = box.high.y_mm - box.low.y_mm;
  // A little ground around the part: the board's own mark of pin 1 lies there. At least 0.3 mm for a bare point.
  const double margin = std::max(0.3, 0.15 * std::max(width, height));
  std::vector<OrientationCandidate> candidates;
  for (const Photo& photo : job.photos) {
    const auto taken = photo.captured_at ? photo.captured_at : photo.added_at;
    const bool added_before = photo.added_at && first && *photo.added_at <= *first;
    if (photo.side != part.side || !photo.registration || photo.stage == PhotoStage::after) continue;
    if (first && !added_before && !(taken && *taken <= *first)) continue;
    const auto map = PhotoMap::from(*photo.registration);
    if (!map) continue;
    OrientationCandidate c;
    c.photo = photo.id;
    c.file = photo.file;
    c.low = {HUGE_VAL, HUGE_VAL}, c.high = {-HUGE_VAL, -HUGE_VAL};
    bool seen = true;
    for (const double x : {box.low.x_mm - margin, box.high.x_mm + margin})
      for (const double y : {box.low.y_mm - margin, box.high.y_mm + margin}) {
        const auto p = map->photo_from({x, y});
        if (!p) {
          seen = false;
          continue;
        }
        c.low = {std::min(c.low.x_px, p->x_px), std::min(c.low.y_px, p->y_px)};
        c.high = {std::max(c.high.x_px, p->x_px), std::max(c.high.y_px, p->y_px)};
      }
    if (!seen || c.high.x_px <= 0 || c.high.y_px <= 0 || c.low.x_px >= photo.width_px || c.low.y_px >= photo.height_px) continue;
    c.whole = c.low.x_px >= 0 && c.low.y_px >= 0 && c.high.x_px <= photo.width_px && c.high.y_px <= photo.height_px;
    c.px_per_mm = map->px_per_mm(part.at);
    const double short_side = std::min(width, height) > 0 ? std::min(width, height) : 2 * margin;
    c.short_side_px = short_side * c.px_per_mm;
    c.clock_remark = photo.captured_at && job.opened_at.ms - photo.captured_at->ms > 2 * 86400000LL;
    candidates.push_back(c);
  }
  std::stable_sort(candidates.begin(), candidates.end(), [](const OrientationCandidate& a, const OrientationCandidate& b) {
    return a.whole != b.whole ? a.whole : a.px_per_mm > b.px_per_mm;
  });
  return candidates;
}

Result<BeforeLiftReport> before_lift(const Layer& layer, const Job& job, const Id& part_id, const BeforeLiftQuestion& question) {
  const MarkPtr part = layer.marks.find(part_id);
  if (!part || part->kind != MarkKind::part)
    return Problem{"", "mark", "a part of this board", part ? std::string(mark_kind_name(part->kind)) : "none", Outcome::bad_input};
  BeforeLiftReport report;
  report.mark = part_id;
  report.refdes = part->refdes;
  report.points.push_back(pin1_point(*part));
  report.points.push_back(photo_point(layer, job, *part, question.focus));
  for (CheckPoint& point : report.points) settle(point, job, part_id);
  neighbour_points(report, job, layer, question);
  report.cautions = cautions_for_part(layer, &job, *part, question.now);
  if (question.plan)
    for (Caution& caution : cautions_for_process(*question.plan, *part, report.clearance ? &*report.clearance : nullptr))
      report.cautions.push_back(std::move(caution));
  for (CheckPoint point : {spare_point(job, *part), readings_point(job, *part), cautions_point(report.cautions)}) {
    settle(point, job, part_id);
    report.points.push_back(std::move(point));
  }
  return report;
}

Result<Done> may_acknowledge(const BeforeLiftReport& report, std::string_view point, std::string_view reason) {
  for (const CheckPoint& p : report.points)
    if (p.point == point) {
      if (reason.empty() && !p.by_acknowledging)
        return Problem{"", std::string(point), "a reason to go on over this point", "none", Outcome::bad_input};
      return Done{};
    }
  return Problem{"", "point", "a point of the check (pin1, orientation-photo, neighbour:ID, spare, readings, cautions)",
                 "\"" + std::string(point) + "\"", Outcome::bad_input};
}

}  // namespace boardlore
