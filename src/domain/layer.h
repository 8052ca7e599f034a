// Everything about a board model that may be shared. Never a customer, a serial number or a place.
#pragma once

#include "domain/mark_table.h"
#include "domain/photo.h"

namespace boardlore {

// One model at one revision.
struct Board {
  std::string maker, model, revision;
  std::optional<double> width_mm, height_mm;  // nullopt: no scale yet, unless a photo was given one
  std::vector<BoardPoint> outline;            // empty: the rectangle
  Unknown unknown;
  bool operator==(const Board&) const = default;
};

// Thresholds of the layer. Defaults are common practice, no source.
struct LayerSettings {
  double short_below_ohm = 1.0;    // at or below: a dead short
  double open_above_ohm = 20e6;    // at or above, or overload: open
  double charging_above_ohm = 1e3; // a rising reading above this is a charging capacitor, not a short
  std::vector<std::string> symptoms;  // the shop's own short list
  Unknown unknown;
  bool operator==(const LayerSettings&) const = default;
};

// What past jobs on this model taught, as counts only. `counted_by` is a random number that a shop gave itself
// (Shop::counts_as): each shop replaces its own counts and adds up the others', so that nothing is counted twice
// however often a layer goes to and fro. Empty in layers that were written without it.
struct FaultCount {
  Id id;                 // follows from the rest but the numbers: the same count has it in every export
  Id counted_by;
  std::string symptom;
  std::string refdes;
  std::string cure;      // "replaced", "reflowed", ...
  int cured = 0;         // jobs in which this was the cure
  std::string last_month;  // "2026-03"
  Unknown unknown;
  bool operator==(const FaultCount&) const = default;
};

struct SymptomCount {   // how many jobs with this symptom there were in all
  Id id;
  Id counted_by;
  std::string symptom;
  int jobs = 0;
  bool operator==(const SymptomCount&) const = default;
};

// Both sides of a merge changed one member to different values: both are kept until somebody chooses.
struct Dispute {
  Id id;
  Id mark;             // empty: a member of the layer itself
  std::string member;  // JSON pointer inside the mark (or the layer)
  std::string one, other;  // JSON text, ordered so that the sides' order does not matter; empty: removed
  Unknown unknown;
  bool operator==(const Dispute&) const = default;
};

struct Layer {
  Id id;
  int version_minor = 0;
  Board board;
  LayerSettings settings;
  std::vector<Photo> photos;
  std::vector<FaultCount> faults;
  std::vector<SymptomCount> symptoms;
  std::vector<Dispute> disputes;
  MarkTable marks;
  Unknown unknown;
  bool operator==(const Layer&) const = default;
};

}  // namespace boardlore
