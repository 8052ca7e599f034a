// The edits: small structs, one for each thing a person does. Ids and times are made by the caller.
#pragma once

#include <variant>

#include "domain/job.h"

namespace boardlore {

struct PlaceMark {          // refused: id in use
  Mark mark;
};
struct ChangeMark {         // the whole mark as it shall be; refused: not there, or a designator that is not one
  Mark mark;
  std::string name;         // "turn U3"; empty: "change U3"
};
struct MoveMark {
  Id mark;
  BoardPoint to;
};
struct RemoveMark {
  Id mark;
};
struct SetBoard {           // size, name, outline
  Board board;
};
struct SetSettings {
  LayerSettings settings;
};
struct PutPhoto {           // adds it, or replaces the one of the same id; goes to the job if one is open,
  Photo photo;              // else to the layer
  bool to_layer = false;    // a reference photo, even with a job open
};
struct RemovePhoto {        // leaves the file
  Id photo;
};
struct RegisterPhoto {      // nullopt: takes the registration away
  Id photo;
  std::optional<Registration> registration;
};
struct AddReadings {        // refused without a job
  std::vector<Reading> readings;
};
struct RemoveReading {
  Id reading;
};
struct PutAction {          // adds, or replaces the one of the same id
  Action action;
};
struct RemoveAction {
  Id action;
};
struct AddJobNote {
  Note note;
};
struct PutAcknowledgement {
  Acknowledgement acknowledgement;
};
struct AddSpareCheck {
  SpareCheck check;
};
struct ChangeJob {          // everything else about a job: unit, reported, defaults, checks, hand-back
  Job job;
  std::string name;
};
struct ChangeLayer {        // faults, symptoms, disputes: the layer without its marks, which stay
  Layer layer;
  std::string name;
};

using Edit = std::variant<PlaceMark, ChangeMark, MoveMark, RemoveMark, SetBoard, SetSettings, PutPhoto, RemovePhoto,
                          RegisterPhoto, AddReadings, RemoveReading, PutAction, RemoveAction, AddJobNote,
                          PutAcknowledgement, AddSpareCheck, ChangeJob, ChangeLayer>;

}  // namespace boardlore
