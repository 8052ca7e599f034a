// What is open, every state it went through in this session, and where in that list we stand.
//
// A snapshot is an immutable value that shares what did not change; an edit is a small struct, and
// `apply` the only way from one snapshot to the next: for the window, the commands and the tests. Undo is
// a step back in a list, so it cannot be subtly wrong.
#pragma once

#include "domain/job.h"
#include "domain/problem.h"
#include "editing/edit.h"

namespace boardlore {

// A board folder is open (no job), or a job folder with its board's layer as the job changed it.
struct Snapshot {
  std::shared_ptr<const Layer> layer;
  std::shared_ptr<const Job> job;  // nullptr: a board is open
};

// Refuses with a reason; `before` is never changed.
Result<Snapshot> apply(const Snapshot& before, const Edit& edit);
// "move C14": the step's name for people.
std::string edit_name(const Snapshot& before, const Edit& edit);

class Document {
 public:
  explicit Document(Snapshot opened) { states_.push_back({"open", std::move(opened), 0}); }

  const Snapshot& now() const { return states_[at_].snapshot; }
  // One undo step each; a list of edits is one step, all or nothing.
  Result<Done> commit(const Edit& edit);
  Result<Done> commit(std::string name, const std::vector<Edit>& edits);
  // A whole state from elsewhere (an earlier version of the file), as one step to undo.
  void put(std::string name, Snapshot snapshot);
  // The last step was not accepted (the journal would not take it): as if it had never been.
  void drop_last();
  // What others changed on disk, merged: becomes the present state, not a step of ours to undo. `age` counts such
  // changes; a state that undo comes back to has its old age, and its caller brings it up to date.
  void replace_present(Snapshot merged, std::size_t age) { states_[at_].snapshot = std::move(merged), states_[at_].age = age; }
  std::size_t age() const { return states_[at_].age; }
  bool can_undo() const { return at_ > 0; }
  bool can_redo() const { return at_ + 1 < states_.size(); }
  bool undo() { return can_undo() && (--at_, true); }
  bool redo() { return can_redo() && (++at_, true); }
  // Name of the step that undo (redo) would take; empty: none.
  std::string undo_name() const { return can_undo() ? states_[at_].name : std::string{}; }
  std::string redo_name() const { return can_redo() ? states_[at_ + 1].name : std::string{}; }

 private:
  struct State {
    std::string name;
    Snapshot snapshot;
    std::size_t age = 0;
  };
  std::vector<State> states_;
  std::size_t at_ = 0;
};

}  // namespace boardlore
