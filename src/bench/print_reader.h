// Designators read from the photo in view, beside the frame, as proposals that wait for a key each.
//
// Nothing is placed by itself: a proposal becomes a mark when the technician takes it, one undo step each.
#pragma once

#include "alignment/designator_reader.h"
#include "bench/desk.h"
#include "bench/tasks.h"

namespace boardlore {

class PrintReader {
 public:
  // Words: why not. Empty: under way.
  std::string read(const DeskView& desk, const Id& photo);
  void stop() { task_.stop(); }
  void forget();

  struct News {
    std::string words;  // what came of it; empty: stopped
    bool trouble = false;
  };
  // Once a frame.
  std::optional<News> take(const DeskView& desk);
  bool working() const { return under_way_; }
  double progress() const { return task_.progress(); }

  // While there are proposals on this photo.
  bool is_asking(const Id& photo) const { return !proposals_.empty() && photo == photo_; }
  const std::vector<ReadDesignator>& proposals() const { return proposals_; }
  std::size_t current() const { return current_; }
  void go_to(std::size_t index) { current_ = std::min(index, proposals_.size() - 1); }
  // Takes the current one off the list.
  ReadDesignator settle();
  Side side() const { return side_; }

 private:
  Task<Result<std::vector<ReadDesignator>>> task_;
  bool under_way_ = false;
  Id photo_;
  Side side_ = Side::top;
  std::vector<ReadDesignator> proposals_;
  std::size_t current_ = 0;
};

}  // namespace boardlore
