#include "judging/marking_match.h"

#include <algorithm>
#include <cctype>

namespace boardlore {
namespace {

std::string plain(std::string_view text) {
  std::string kept;
  for (const char c : text)
    if (!std::isspace(static_cast<unsigned char>(c)) && !std::iscntrl(static_cast<unsigned char>(c)))
      kept += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return kept;
}

// One of each pair that print and laser marking make hard to tell apart.
std::string looked_at_badly(std::string text) {
  for (char& c : text) {
    const auto at = std::string_view("OILBSZ").find(c);
    if (at != std::string_view::npos) c = std::string_view("011852")[at];
  }
  return text;
}

// `*` any run, `?` one character; linear in text times stars, so that no entry can make it hang.
bool fits(std::string_view pattern, std::string_view text) {
  std::size_t p = 0, t = 0, star = std::string_view::npos, resume = 0;
  while (t < text.size()) {
    if (p < pattern.size() && pattern[p] == '*') {
      star = p++, resume = t;
    } else if (p < pattern.size() && (pattern[p] == '?' || pattern[p] == text[t])) {
      ++p, ++t;
    } else if (star != std::string_view::npos) {
      p = star + 1, t = ++resume;
    } else {
      return false;
    }
  }
  while (p < pattern.size() && pattern[p] == '*') ++p;
  return p == pattern.size();
}

const std::string* entry_for(const std::vector<std::string>& entries, const std::string& marking) {
  for (const std::string& entry : entries)
    if (const std::string pattern = plain(entry); !pattern.empty() && fits(pattern, marking)) return &entry;
  return nullptr;
}

}  // namespace

std::string_view spare_verdict_name(SpareVerdict verdict) {
  return verdict == SpareVerdict::accepted ? "accepted" : verdict == SpareVerdict::refused ? "refused" : "not listed";
}

MarkingMatch match_marking(const std::vector<std::string>& accept, const std::vector<std::string>& refuse,
                           std::string_view marking_seen) {
  MarkingMatch match;
  match.lists_empty = accept.empty() && refuse.empty();
  const std::string marking = plain(marking_seen);
  const std::string seen = "\"" + std::string(marking_seen) + "\"";
  if (marking.empty()) {
    match.words = "no marking was given";
  } else if (const std::string* refused = entry_for(refuse, marking)) {
    match = {SpareVerdict::refused, *refused, seen + " is on the refuse list (" + *refused + ")", false};
    if (const std::string* also = entry_for(accept, marking)) match.words += "; the accept list has it too (" + *also + "): settle the lists first";
  } else if (const std::string* accepted = entry_for(accept, marking)) {
    match = {SpareVerdict::accepted, *accepted, seen + " matches the accept list (" + *accepted + ")", false};
  } else if (match.lists_empty) {
    match.words = "this part has no accept and no refuse list: " + seen + " is held against nothing";
  } else if (accept.empty()) {
    match.words = seen + " is not on the refuse list, but there is no accept list to match";
  } else {
    match.words = seen + " is not on the accept list; look-alikes of other makers are not interchangeable unless the list says so";
    for (const std::string& entry : accept)
      if (fits(looked_at_badly(plain(entry)), looked_at_badly(marking))) {
        match.words += "; it differs from " + entry + " only in characters that look alike: read it again";
        break;
      }
  }
  return match;
}

}  // namespace boardlore
