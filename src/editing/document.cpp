#include "editing/document.h"

namespace boardlore {

Result<Done> Document::commit(const Edit& edit) {
  std::string name = edit_name(now(), edit);
  return commit(std::move(name), {edit});
}

Result<Done> Document::commit(std::string name, const std::vector<Edit>& edits) {
  Snapshot snapshot = now();
  for (const Edit& edit : edits) {
    Result<Snapshot> next = boardlore::apply(snapshot, edit);
    if (!next) return next.problem();
    snapshot = *std::move(next);
  }
  put(std::move(name), std::move(snapshot));
  return Done{};
}

void Document::put(std::string name, Snapshot snapshot) {
  states_.resize(at_ + 1);
  states_.push_back({std::move(name), std::move(snapshot), age()});
  ++at_;
}

void Document::drop_last() {
  if (at_ == 0) return;
  states_.resize(at_);
  --at_;
}

}  // namespace boardlore
