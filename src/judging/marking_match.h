// Is the spare really the same part? Its marking held against the part's accept and refuse lists.
//
// The rule, from the bench: parts of different makers that look alike are not interchangeable, even on the same
// board, unless the list says so. So nothing is guessed: a marking is accepted only where an entry of the list
// says it, and what is on the refuse list is refused even where the accept list would take it too.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace boardlore {

enum class SpareVerdict { accepted, refused, not_listed };
// "accepted", "refused", "not listed": as kept in the job.
std::string_view spare_verdict_name(SpareVerdict verdict);

struct MarkingMatch {
  SpareVerdict verdict = SpareVerdict::not_listed;
  std::string entry;   // the list entry that decided; empty: none
  std::string words;   // one sentence for people
  bool lists_empty = false;
};

// Case, blanks and line breaks do not count. In an entry `*` stands for any characters (a lot or date code) and
// `?` for one. Characters that look alike (O 0, I 1 l, B 8, S 5, Z 2) do count, but a near miss by them is said.
MarkingMatch match_marking(const std::vector<std::string>& accept, const std::vector<std::string>& refuse,
                           std::string_view marking_seen);

}  // namespace boardlore
