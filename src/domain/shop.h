// What a shop keeps for all its boards: packages of its own and the steps it works by. Nothing of a job or an owner.
#pragma once

#include <string>
#include <vector>

#include "domain/id.h"
#include "domain/package.h"

namespace boardlore {

// The steps of a usual job, in order. One with the key of a built-in list takes its place.
struct StepList {
  std::string key;    // "two-terminal-iron"
  std::string title;  // "two-terminal part by iron"
  std::vector<std::string> steps;
  Unknown unknown;
  bool operator==(const StepList&) const = default;
};

struct Shop {
  int version_minor = 0;
  Id counts_as;  // a random number under which its counts of cures go out in layers; empty: none went out yet
  std::vector<Package> packages;
  std::vector<StepList> step_lists;
  Unknown unknown;
  bool operator==(const Shop&) const = default;
};

}  // namespace boardlore
