// Two photos of one side compared: what the worklist, the card and the difference view show of it. The job keeps
// the answers (domain/job.h); the difference picture can be had again from the photos.
#pragma once

#include <memory>

#include "alignment/difference.h"

namespace boardlore {

struct Compared {
  Id before, after;
  Side side = Side::top;
  Comparison comparison;
  std::shared_ptr<const DifferencePicture> difference;

  // nullptr: not a part, or of the other side.
  const PartComparison* part(const Id& mark) const;
};
using ComparedPtr = std::shared_ptr<const Compared>;

// "turned 180°", "missing", "moved 0.52 mm"
std::string verdict_words(const PartComparison& part);

}  // namespace boardlore
