#include "judging/step_lists.h"

namespace boardlore {

const std::vector<StepList>& step_lists() {
  static const std::vector<StepList> lists{
      {"two-terminal-iron", "two-terminal part by iron",
       {"flood both ends", "lift", "wick", "clean", "tack one end", "align", "solder other end", "solder first end", "clean", "inspect"}},
      {"quad-air", "quad-flat or dual-row part by hot air",
       {"shield neighbours", "flux", "preheat", "heat and lift", "wick", "clean", "flux", "align pin 1", "tack two corners", "solder",
        "wick bridges", "nudge every pin", "clean", "inspect"}},
      {"grid-preheater", "grid array by preheater",
       {"shield neighbours", "preheat from below", "heat and lift", "wick", "clean", "ball or print", "flux", "align A1", "reflow", "cool undisturbed",
        "clean", "inspect sides"}},
      {"connector", "connector by hot air or iron",
       {"shield plastic", "flux", "flood or preheat", "lift", "wick", "clean", "align", "tack anchors", "solder", "nudge every pin", "clean", "inspect"}}};
  return lists;
}

const StepList* find_step_list(std::string_view key) {
  for (const StepList& list : step_lists())
    if (list.key == key) return &list;
  return nullptr;
}

const StepList* usual_step_list(PackageFamily family) {
  switch (family) {
    case PackageFamily::two_terminal:
    case PackageFamily::sot: return find_step_list("two-terminal-iron");
    case PackageFamily::dual_row:
    case PackageFamily::quad: return find_step_list("quad-air");
    case PackageFamily::grid_array: return find_step_list("grid-preheater");
    case PackageFamily::connector:
    case PackageFamily::module: return find_step_list("connector");
    case PackageFamily::own_outline: break;
  }
  return nullptr;
}

std::vector<Step> steps_of(const StepList& list) {
  std::vector<Step> steps;
  for (const std::string_view name : list.steps) steps.push_back({std::string(name), std::nullopt, {}});
  return steps;
}

}  // namespace boardlore
