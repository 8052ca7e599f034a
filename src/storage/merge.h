// Two people's edits over a common ancestor, at member level: nothing is dropped in silence.
//
// Marks meet by id, their members by name, lists of things with ids by those ids. What one side changed
// and the other did not is taken; where both changed the same member differently both values are kept in
// the layer as a dispute. The result does not depend on which side is named first.
#pragma once

#include "editing/document.h"

namespace boardlore {

struct Merged {
  Snapshot snapshot;
  std::size_t disputes = 0;  // new ones
};

Result<Merged> merge_snapshots(const Snapshot& base, const Snapshot& ours, const Snapshot& theirs);
Result<Layer> merge_layers(const Layer& base, const Layer& ours, const Layer& theirs);

}  // namespace boardlore
