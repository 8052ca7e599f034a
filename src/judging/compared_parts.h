// What the kept comparisons of a job say of a part: which answer counts, in words, and whether a person must look.
//
// A job may hold several comparisons: of both sides, of a second try. The newest one that saw the part counts. One
// made before the last rework on the part says nothing of the part as it is now.
#pragma once

#include <optional>
#include <string>

#include "domain/job.h"

namespace boardlore {

inline constexpr const char* comparison_aid = "An aid to the eye, not the last word: look at what it names, and at pin 1.";

struct PartAnswer {
  const KeptComparison* comparison = nullptr;
  const ComparedPart* part = nullptr;
};

// Pointers into the job; nullopt: no comparison saw this part.
std::optional<PartAnswer> newest_answer(const Job& job, const Id& mark);
// Worked on again after it was compared.
bool is_overtaken(const Job& job, const PartAnswer& answer);
// nullptr: none was made.
const KeptComparison* newest_comparison(const Job& job);

// "changed", "moved", "missing", "turned"
bool is_compared_finding(std::string_view verdict);
// Turned or missing first, moved, changed, then what can't be told; what is the same last.
int urgency_of(std::string_view verdict);
// "turned by 180°", "missing", "moved by 0.52 mm", "looks different", "the same", "can't be told"
std::string spoken_verdict(const ComparedPart& part);
// The same with confidence and reason.
std::string spoken_answer(const ComparedPart& part);

}  // namespace boardlore
