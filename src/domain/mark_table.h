// The marks of a layer as a cheap value.
//
// Undo keeps every state of a session, and a dense board has 20,000 marks. The table is a list of chunks
// sorted by id; an edit copies one chunk and the short list of chunks, the rest is shared. Two tables
// are compared by what they share first, so that a save finds what changed without reading what did not.
#pragma once

#include <vector>

#include "domain/mark.h"

namespace boardlore {

class MarkTable {
 public:
  using Chunk = std::vector<MarkPtr>;

  MarkTable() = default;
  // Any order in; a later mark of the same id wins.
  explicit MarkTable(std::vector<MarkPtr> marks);

  std::size_t size() const { return size_; }
  bool empty() const { return size_ == 0; }
  MarkPtr find(const Id& id) const;  // nullptr: not there
  MarkTable with(MarkPtr mark) const;
  MarkTable without(const Id& id) const;

  template <class Visit>
  void each(Visit visit) const {  // by rising id; visit(const MarkPtr&)
    for (const auto& chunk : chunks_)
      for (const MarkPtr& mark : *chunk) visit(mark);
  }
  std::vector<MarkPtr> all() const;

  // Calls visit(before, after) for each mark that is not the same object in both; nullptr where absent.
  template <class Visit>
  static void differences(const MarkTable& before, const MarkTable& after, Visit visit);

  bool operator==(const MarkTable& other) const;

 private:
  std::vector<std::shared_ptr<const Chunk>> chunks_;  // none empty
  std::size_t size_ = 0;
};

template <class Visit>
void MarkTable::differences(const MarkTable& before, const MarkTable& after, Visit visit) {
  // Chunks shared by both are passed over; the others are merged by id.
  std::vector<MarkPtr> left, right;
  std::size_t i = 0, j = 0;
  std::vector<bool> shared_after(after.chunks_.size(), false);
  for (i = 0; i < before.chunks_.size(); ++i) {
    bool shared = false;
    const Id& first = before.chunks_[i]->front()->id;
    while (j < after.chunks_.size() && after.chunks_[j]->back()->id < first) ++j;
    for (std::size_t k = j; k < after.chunks_.size() && after.chunks_[k]->front()->id <= first; ++k)
      if (after.chunks_[k] == before.chunks_[i]) shared = shared_after[k] = true;
    if (!shared) left.insert(left.end(), before.chunks_[i]->begin(), before.chunks_[i]->end());
  }
  for (j = 0; j < after.chunks_.size(); ++j)
    if (!shared_after[j]) right.insert(right.end(), after.chunks_[j]->begin(), after.chunks_[j]->end());
  for (i = 0, j = 0; i < left.size() || j < right.size();) {
    if (j == right.size() || (i < left.size() && left[i]->id < right[j]->id)) {
      visit(left[i++], MarkPtr{});
    } else if (i == left.size() || right[j]->id < left[i]->id) {
      visit(MarkPtr{}, right[j++]);
    } else {
      if (left[i] != right[j]) visit(left[i], right[j]);
      ++i, ++j;
    }
  }
}

}  // namespace boardlore
