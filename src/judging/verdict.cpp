#include "judging/verdict.h"

namespace boardlore {

std::string_view verdict_name(Verdict verdict) {
  switch (verdict) {
    case Verdict::shorted: return "short";
    case Verdict::open: return "open";
    case Verdict::low: return "low";
    case Verdict::high: return "high";
    case Verdict::drifting_up: return "drifting-up";
    case Verdict::drifting_down: return "drifting-down";
    case Verdict::charging: return "charging";
    case Verdict::nothing_to_compare: return "nothing-to-compare";
    case Verdict::steady: return "steady";
    case Verdict::within_limits: break;
  }
  return "within-limits";
}

std::string_view verdict_words(Verdict verdict) {
  switch (verdict) {
    case Verdict::shorted: return "short";
    case Verdict::open: return "open";
    case Verdict::low: return "low";
    case Verdict::high: return "high";
    case Verdict::drifting_up: return "drifting up";
    case Verdict::drifting_down: return "drifting down";
    case Verdict::charging: return "drifting up, still charging";
    case Verdict::nothing_to_compare: return "nothing to compare with";
    case Verdict::steady: return "steady";
    case Verdict::within_limits: break;
  }
  return "within limits";
}

bool is_out_of_limits(Verdict verdict) {
  return verdict == Verdict::shorted || verdict == Verdict::open || verdict == Verdict::low || verdict == Verdict::high;
}

}  // namespace boardlore
