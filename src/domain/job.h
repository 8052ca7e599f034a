// Everything about one unit on the bench: private.
#pragma once

#include "domain/layer.h"

namespace boardlore {

// One step of a piece of work, with its own photo and time.
struct Step {
  std::string name;  // "flood", "lift", "wick", "clean", "tack", "align", ...
  std::optional<Timestamp> done_at;
  Id photo;          // empty: none
  bool operator==(const Step&) const = default;
};

// How the work was done; nullopt or empty: not said.
struct Process {
  std::optional<double> iron_c, air_c, preheat_c;
  std::string air_setting;
  std::optional<double> nozzle_mm;
  std::string alloy, flux;
  std::optional<double> time_s;
  bool operator==(const Process&) const = default;
};

// One step of rework on a mark.
struct Action {
  Id id;
  Id mark;
  std::string refdes;
  std::string pin;
  std::string what;          // "replaced", "reflowed", "cleaned", "lifted", ...
  std::string words;
  Process process;
  std::vector<Step> steps;
  std::string fitted_marking, fitted_lot, fitted_source;
  std::string fitted_price;  // what the shop paid, as written: "2.40 EUR"; never in an owner's record
  std::optional<Timestamp> bag_opened_at;  // for the moisture floor life
  Timestamp at;
  std::string by;
  Unknown unknown;
  bool operator==(const Action&) const = default;
};

// A point of the before-lift check that was acknowledged or passed over with a reason.
struct Acknowledgement {
  Id id;
  Id mark;
  std::string point;   // "pin1", "orientation-photo", "neighbour:<mark id>", "spare", "readings", "cautions"
  std::string reason;  // empty: acknowledged as it is
  std::string by;
  Timestamp at;
  Unknown unknown;
  bool operator==(const Acknowledgement&) const = default;
};

// A spare that was held against the accept and refuse lists.
struct SpareCheck {
  Id id;
  Id mark;
  std::string marking_seen;
  std::string verdict;  // "accepted", "refused", "not listed"
  Timestamp at;
  bool operator==(const SpareCheck&) const = default;
};

// What comparing the two photos said of one part.
struct ComparedPart {
  Id mark;
  std::string refdes;
  std::string verdict;    // "same", "changed", "moved", "missing", "turned", "cannot-tell"
  int turn_deg = 0;       // counter-clockwise seen from the top
  double shift_mm = 0;
  double confidence = 0;  // 0 to 1
  std::string words;      // why
  bool operator==(const ComparedPart&) const = default;
};

// A photo from before held against one from after, as it was answered then: an aid to the eye, never the last
// word. Never changed once made, so that two people's merge without a clash.
struct KeptComparison {
  Id id;
  Id before, after;  // photos
  Timestamp made_at;
  std::string by;
  std::vector<ComparedPart> parts;
  Unknown unknown;
  bool operator==(const KeptComparison&) const = default;
};

struct Check {  // one line of the hand-back list
  std::string text;
  std::optional<Timestamp> ticked_at;
  bool operator==(const Check&) const = default;
};

struct Addendum {
  Id id;
  std::string text, by;
  Timestamp at;
  bool operator==(const Addendum&) const = default;
};

struct HandBack {
  std::string outcome;       // "fixed", "not-fixed", "no-fault"
  int warranty_months = 0;
  std::string warranty_until;  // "2027-03-04"
  std::string reason;        // why it was closed over open points
  std::string by;
  Timestamp at;
  bool operator==(const HandBack&) const = default;
};

struct Unit {
  std::string serial, owner, condition;
  Unknown unknown;
  bool operator==(const Unit&) const = default;
};

// Which board the job is on. The folder is a hint, relative to the job; the id decides.
struct BoardLink {
  Id layer;
  std::string folder;
  std::string maker, model, revision;
  bool operator==(const BoardLink&) const = default;
};

struct Job {
  Id id;
  int version_minor = 0;
  BoardLink board;
  Unit unit;
  std::string reported;
  std::string symptom;       // from the shop's short list; empty: not grouped
  std::string technician;
  Timestamp opened_at;
  Conditions defaults;
  std::vector<Photo> photos;
  std::vector<Reading> readings;
  std::vector<Action> actions;
  std::vector<Note> notes;   // on the job as a whole
  std::vector<Acknowledgement> acknowledgements;
  std::vector<SpareCheck> spares;
  std::vector<KeptComparison> comparisons;  // the newest made last
  std::vector<Check> checks;
  std::optional<HandBack> hand_back;
  std::vector<HandBack> earlier_hand_backs;  // of a job that was opened again
  std::vector<Addendum> addenda;
  std::vector<Dispute> disputes;  // of a merge, until somebody chooses; of the job itself and of its marks
  Unknown unknown;
  bool operator==(const Job&) const = default;
};

}  // namespace boardlore
