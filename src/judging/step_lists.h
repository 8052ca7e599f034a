// Default steps of the usual jobs, to start an action from and to change as the work asks.
//
// From common practice, no source. They are a memory aid: each step can carry a photo and a time.
#pragma once

#include <string_view>
#include <vector>

#include "domain/job.h"
#include "domain/package.h"

namespace boardlore {

struct StepList {
  std::string_view key;    // "two-terminal-iron"
  std::string_view title;  // "two-terminal part by iron"
  std::vector<std::string_view> steps;
};

const std::vector<StepList>& step_lists();
const StepList* find_step_list(std::string_view key);
// The list that a part of this family usually takes; nullptr: none fits.
const StepList* usual_step_list(PackageFamily family);
// The steps as an action holds them, none done.
std::vector<Step> steps_of(const StepList& list);

}  // namespace boardlore
