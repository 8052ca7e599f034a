// Another program's window that takes drops, for the tests of dragging out: the target's side of XDND ("Drag-and-Drop Protocol for
// the X Window System", version 5) on a connection and a thread of its own, written from the protocol and not from our source.
#pragma once

#include <memory>
#include <string>

namespace boardlore {

struct DropHabits {
  bool aware = true;
  int version = 5;
  bool accepts = true;
  bool would_move = false;        // answers XdndActionMove
  bool finishes = true;
  bool refuses_in_the_end = false;  // XdndFinished with its bit 0 unset
  bool quiet = false;             // wants no more positions while over its window
  int status_after_ms = 0;
  bool by_proxy = false;          // messages go to a window of its own
  enum class Dies { never, at_position, at_drop } dies = Dies::never;
};

struct DropSeen {
  int enters = 0, positions = 0, leaves = 0, drops = 0;
  int early_positions = 0;        // that came before the last one was answered
  int mislaid = 0;                // sent to another window than they name or should go to
  long version = 0;               // as XdndEnter said
  std::string kind;               // the first kind it offered
  int x = 0, y = 0;               // of the last position
  std::string bytes;              // of what was dropped
  bool copy_asked = true;         // each position asked for a copy
};

class DropTarget {
 public:
  DropTarget(int x, int y, int width, int height, DropHabits habits = {});
  ~DropTarget();
  DropTarget(const DropTarget&) = delete;
  DropTarget& operator=(const DropTarget&) = delete;
  DropSeen seen() const;

 private:
  struct Inner;
  std::unique_ptr<Inner> inner_;
};

// The first button goes up, whoever holds it.
void let_go_of_the_button();

}  // namespace boardlore
