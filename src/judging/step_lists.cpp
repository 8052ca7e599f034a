#include "judging/step_lists.h"

#include <algorithm>
#include <cctype>

namespace boardlore {
namespace {

constexpr std::size_t most_steps = 100, longest_name = 200;

}  // namespace

const std::vector<StepList>& default_step_lists() {
  static const std::vector<StepList> lists{
      {"two-terminal-iron", "two-terminal part by iron",
       {"flood both ends", "lift", "wick", "clean", "tack one end", "align", "solder other end", "solder first end", "clean", "inspect"}, {}},
      {"quad-air", "quad-flat or dual-row part by hot air",
       {"shield neighbours", "flux", "preheat", "heat and lift", "wick", "clean", "flux", "align pin 1", "tack two corners", "solder",
        "wick bridges", "nudge every pin", "clean", "inspect"}, {}},
      {"grid-preheater", "grid array by preheater",
       {"shield neighbours", "preheat from below", "heat and lift", "wick", "clean", "ball or print", "flux", "align A1", "reflow", "cool undisturbed",
        "clean", "inspect sides"}, {}},
      {"connector", "connector by hot air or iron",
       {"shield plastic", "flux", "flood or preheat", "lift", "wick", "clean", "align", "tack anchors", "solder", "nudge every pin", "clean", "inspect"}, {}}};
  return lists;
}

std::vector<StepList> step_lists(const Shop& shop) {
  std::vector<StepList> lists = default_step_lists();
  for (const StepList& own : shop.step_lists) {
    const auto there = std::find_if(lists.begin(), lists.end(), [&](const StepList& list) { return list.key == own.key; });
    if (there != lists.end()) *there = own;
    else lists.push_back(own);
  }
  return lists;
}

std::optional<StepList> find_step_list(std::string_view key, const Shop& shop) {
  for (const StepList& list : step_lists(shop))
    if (list.key == key) return list;
  return std::nullopt;
}

std::optional<StepList> usual_step_list(PackageFamily family, const Shop& shop) {
  switch (family) {
    case PackageFamily::two_terminal:
    case PackageFamily::sot: return find_step_list("two-terminal-iron", shop);
    case PackageFamily::dual_row:
    case PackageFamily::quad: return find_step_list("quad-air", shop);
    case PackageFamily::grid_array: return find_step_list("grid-preheater", shop);
    case PackageFamily::connector:
    case PackageFamily::module: return find_step_list("connector", shop);
    case PackageFamily::own_outline: break;
  }
  return std::nullopt;
}

std::vector<Step> steps_of(const StepList& list) {
  std::vector<Step> steps;
  for (const std::string& name : list.steps) steps.push_back({name, std::nullopt, {}});
  return steps;
}

std::optional<Problem> fault_of(const StepList& list) {
  const bool key_fits = !list.key.empty() && list.key.size() <= 60 &&
                        std::all_of(list.key.begin(), list.key.end(), [](unsigned char c) { return (c < 0x80 && std::isalnum(c) != 0) || c == '-'; });
  if (!key_fits) return Problem{"", "key", "letters, digits and dashes, as in quad-air", "\"" + list.key + "\""};
  if (list.title.size() > longest_name) return Problem{"", "title", "at most 200 bytes", std::to_string(list.title.size())};
  if (list.steps.empty() || list.steps.size() > most_steps) return Problem{"", "steps", "1 to 100 steps", std::to_string(list.steps.size())};
  for (const std::string& step : list.steps)
    if (step.empty() || step.size() > longest_name) return Problem{"", "steps", "a name of 1 to 200 bytes for each step", "\"" + step.substr(0, 60) + "\""};
  return std::nullopt;
}

Result<std::vector<Step>> steps_changed(const std::vector<Step>& now, const std::vector<std::string>& names) {
  if (names.size() > most_steps) return Problem{"", "steps", "at most 100 steps", std::to_string(names.size())};
  std::vector<Step> left = now, changed;
  for (const std::string& name : names) {
    if (name.empty() || name.size() > longest_name) return Problem{"", "steps", "a name of 1 to 200 bytes for each step", "\"" + name.substr(0, 60) + "\""};
    // The done one of that name first, so that a step that occurs twice keeps its time.
    auto old = std::find_if(left.begin(), left.end(), [&](const Step& step) { return step.name == name && step.done_at; });
    if (old == left.end()) old = std::find_if(left.begin(), left.end(), [&](const Step& step) { return step.name == name; });
    changed.push_back(old == left.end() ? Step{name, std::nullopt, {}} : *old);
    if (old != left.end()) left.erase(old);
  }
  for (const Step& step : left)
    if (step.done_at) return Problem{"", "steps", "\"" + step.name + "\", which is done, to stay in the list", "left out"};
  return changed;
}

}  // namespace boardlore
