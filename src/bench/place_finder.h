// Photos that find their place on the board by themselves, one after the other, beside the frame.
//
// What is found is not yet used: it waits here until the technician has seen it and accepts, corrects or
// rejects it. Nothing is written before that, so a stop or another folder leaves nothing behind.
#pragma once

#include <deque>
#include <map>

#include "alignment/auto_registration.h"
#include "bench/desk.h"
#include "bench/tasks.h"

namespace boardlore {

class PlaceFinder {
 public:
  // Queues the photo; false: no other photo is registered that it could be found on.
  bool look_for(const DeskView& desk, const Id& photo);
  void stop();    // what is under way and what waits; each comes back as a refusal
  void forget();  // all of it: another folder

  // Once a frame: takes what is finished, begins the next. True: there is something new.
  bool begin_frame(const DeskView& desk);
  bool working() const { return task_.running() || !waiting_.empty() || !under_way_.empty(); }
  const Id& under_way() const { return under_way_; }
  double progress() const { return task_.progress(); }
  std::size_t waiting() const { return waiting_.size(); }

  // nullptr: nothing found for it that still waits for a word.
  const AutoReport* found(const Id& photo) const;
  void settled(const Id& photo) { found_.erase(photo); }
  struct Refused {
    Id photo;
    AutoRefusal refusal;
  };
  std::vector<Refused> take_refused() { return std::exchange(refused_, {}); }

 private:
  std::deque<Id> waiting_;
  Id under_way_;
  Task<AutoOutcome> task_;
  std::map<Id, AutoReport> found_;
  std::vector<Refused> refused_;
};

}  // namespace boardlore
