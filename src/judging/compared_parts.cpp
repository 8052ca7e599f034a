#include "judging/compared_parts.h"

#include <array>
#include <cstdio>

#include "judging/judge.h"

namespace boardlore {

std::optional<PartAnswer> newest_answer(const Job& job, const Id& mark) {
  std::optional<PartAnswer> newest;
  for (const KeptComparison& comparison : job.comparisons)
    for (const ComparedPart& part : comparison.parts)
      if (part.mark == mark && (!newest || newest->comparison->made_at <= comparison.made_at)) newest = PartAnswer{&comparison, &part};
  return newest;
}

bool is_overtaken(const Job& job, const PartAnswer& answer) {
  for (const Action& action : job.actions)
    if (action.mark == answer.part->mark && is_rework(action.what) && answer.comparison->made_at < action.at) return true;
  return false;
}

const KeptComparison* newest_comparison(const Job& job) {
  const KeptComparison* newest = nullptr;
  for (const KeptComparison& comparison : job.comparisons)
    if (!newest || newest->made_at <= comparison.made_at) newest = &comparison;
  return newest;
}

bool is_compared_finding(std::string_view verdict) { return urgency_of(verdict) < 4; }

int urgency_of(std::string_view verdict) {
  constexpr std::array<std::string_view, 5> order{"turned", "missing", "moved", "changed", "cannot-tell"};
  for (std::size_t i = 0; i < order.size(); ++i)
    if (order[i] == verdict) return static_cast<int>(i);
  return 5;
}

std::string spoken_verdict(const ComparedPart& part) {
  char words[64];
  if (part.verdict == "turned") {
    std::snprintf(words, sizeof words, "turned by %d°", part.turn_deg);
    return words;
  }
  if (part.verdict == "moved") {
    std::snprintf(words, sizeof words, "moved by %.2f mm", part.shift_mm);
    return words;
  }
  if (part.verdict == "changed") return "looks different";
  if (part.verdict == "same") return "the same";
  if (part.verdict == "cannot-tell") return "can't be told";
  return part.verdict;
}

std::string spoken_answer(const ComparedPart& part) {
  char confidence[48];
  std::snprintf(confidence, sizeof confidence, " (confidence %.2f)", part.confidence);
  return spoken_verdict(part) + confidence + (part.words.empty() ? "" : ": " + part.words);
}

}  // namespace boardlore
