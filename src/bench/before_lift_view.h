// The before-lift check on the card, and the heated circle on the photo.
//
// What is open is shown with its numbers and what closes it; it is closed by the thing itself, by "seen" where seeing
// is what is wanted, or by a reason that stays in the record. Nothing here reads as leave to begin. Photos are decoded
// and measured off the frame.
#pragma once

#include "bench/photo_view.h"
#include "bench/tasks.h"
#include "judging/before_lift.h"

namespace boardlore {

struct BeforeLiftCheck {
  // As typed; empty: none.
  std::string nozzle, air, alloy, spare;
  std::map<std::string, std::string> reasons;  // by point, while they are typed

  // What the report was worked out of.
  std::shared_ptr<const Layer> layer;
  std::shared_ptr<const Job> job;
  Id mark;
  std::string words;              // of the fields
  std::int64_t minute = 0;        // floor life runs on
  std::optional<BeforeLiftReport> report;
  std::string trouble;

  std::vector<std::pair<Id, PhotoPoint>> measured_of;  // photos and where the part lies in them
  std::map<Id, double> focus;
  Task<std::map<Id, double>> measuring;
  bool at_work = false;

  // Once a frame: takes in what was measured. True: something new is there to draw.
  bool take_measured();
};

// Of a part of a job.
void draw_before_lift(const Scene& scene, BeforeLiftCheck& check, const Mark& part);
// For the stage of rework: what of the check is open, in short, and the way back to it. How many are.
std::size_t draw_open_before_lift(const Scene& scene, BenchState& state, BeforeLiftCheck& check, const Mark& part);
// How many of its points are open; worked out where it is not yet.
std::size_t open_before_lift(const Scene& scene, BeforeLiftCheck& check, const Mark& part);
// The circle the chosen nozzle heats about the checked part, and what it meets, lit.
void draw_heated(const Scene& scene, const BeforeLiftCheck& check, const Id& shown, const PaneLook& look);

}  // namespace boardlore
