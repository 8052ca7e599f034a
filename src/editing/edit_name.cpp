// Each edit's name for people: what the undo entry says.
#include "editing/document.h"
#include "editing/mark_rules.h"

namespace boardlore {
namespace {

std::string name_of(const Snapshot& snapshot, const Id& mark) {
  const MarkPtr found = snapshot.layer->marks.find(mark);
  return found ? spoken_name(*found) : "mark";
}

struct Namer {
  const Snapshot& before;
  std::string operator()(const PlaceMark& e) const { return "place " + spoken_name(e.mark); }
  std::string operator()(const ChangeMark& e) const { return e.name.empty() ? "change " + spoken_name(e.mark) : e.name; }
  std::string operator()(const MoveMark& e) const { return "move " + name_of(before, e.mark); }
  std::string operator()(const RemoveMark& e) const { return "delete " + name_of(before, e.mark); }
  std::string operator()(const SetBoard&) const { return "change board"; }
  std::string operator()(const SetSettings&) const { return "change settings"; }
  std::string operator()(const PutPhoto& e) const { return "photo " + e.photo.file; }
  std::string operator()(const RemovePhoto&) const { return "take photo out"; }
  std::string operator()(const RegisterPhoto& e) const { return e.registration ? "register photo" : "undo registration"; }
  std::string operator()(const AddReadings& e) const {
    return e.readings.empty() ? "reading" : "reading " + name_of(before, e.readings.front().mark);
  }
  std::string operator()(const RemoveReading&) const { return "delete reading"; }
  std::string operator()(const PutAction& e) const { return e.action.what + " " + e.action.refdes; }
  std::string operator()(const RemoveAction&) const { return "delete action"; }
  std::string operator()(const AddJobNote&) const { return "note on the job"; }
  std::string operator()(const PutAcknowledgement& e) const { return "acknowledge " + name_of(before, e.acknowledgement.mark); }
  std::string operator()(const AddSpareCheck& e) const { return "spare for " + name_of(before, e.check.mark); }
  std::string operator()(const ChangeJob& e) const { return e.name.empty() ? "change job" : e.name; }
  std::string operator()(const ChangeLayer& e) const { return e.name.empty() ? "change layer" : e.name; }
};

}  // namespace

std::string edit_name(const Snapshot& before, const Edit& edit) { return std::visit(Namer{before}, edit); }

}  // namespace boardlore
