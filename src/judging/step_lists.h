// Default steps of the usual jobs, to start an action from and to change as the work asks.
//
// From common practice, no source. They are a memory aid: each step can carry a photo and a time. A shop's own lists
// stand beside them, or in the place of one with the same key (storage/shop_file.h).
#pragma once

#include <optional>

#include "domain/job.h"
#include "domain/problem.h"
#include "domain/shop.h"

namespace boardlore {

const std::vector<StepList>& default_step_lists();
// The default ones, each as the shop has it, then the shop's own.
std::vector<StepList> step_lists(const Shop& shop);
std::optional<StepList> find_step_list(std::string_view key, const Shop& shop);
// The list that a part of this family usually takes; nullopt: none fits.
std::optional<StepList> usual_step_list(PackageFamily family, const Shop& shop);
// The steps as an action holds them, none done.
std::vector<Step> steps_of(const StepList& list);

// nullopt: fine. A key of letters, digits and dashes, a title, and steps with a name each.
std::optional<Problem> fault_of(const StepList& list);

// An action's steps by new names in a new order. What is done stays as it is, with its time and photo: refused where a
// done step would be left out or renamed.
Result<std::vector<Step>> steps_changed(const std::vector<Step>& now, const std::vector<std::string>& names);

}  // namespace boardlore
