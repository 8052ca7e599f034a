// What a reading is found to be, with the reason in words and the numbers it rests on. A verdict tells
// what was measured against what; none of them says that something is safe or may be done.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace boardlore {

// From worst to best, which is the order worst_verdict() goes by. Written by name (verdict_name).
enum class Verdict { shorted, open, low, high, drifting_up, drifting_down, charging, nothing_to_compare, steady, within_limits };

std::string_view verdict_name(Verdict verdict);   // "short", "within-limits": for files
std::string_view verdict_words(Verdict verdict);  // "short", "within limits", "drifting up, still charging": for people
bool is_out_of_limits(Verdict verdict);           // short, open, low, high

struct Basis {       // a number the verdict rests on
  std::string name;  // "limit_low", "median", "p_one_sided"
  double value = 0;
  bool operator==(const Basis&) const = default;
};

struct Judgement {
  Verdict verdict = Verdict::nothing_to_compare;
  std::string reason;
  std::vector<Basis> basis;
  std::string before_after;           // the same point before and after the rework; empty: none
  std::vector<std::string> remarks;   // how many samples and how old, the trend, a rough capacitance
  std::vector<std::string> cautions;
  bool operator==(const Judgement&) const = default;
};

}  // namespace boardlore
