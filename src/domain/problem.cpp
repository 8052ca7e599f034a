#include "domain/problem.h"

namespace boardlore {

std::string to_text(const Problem& problem) {
  std::string text = problem.file;
  if (!problem.where.empty()) text += (text.empty() ? "at " : " at ") + problem.where;
  if (!text.empty()) text += ": ";
  if (!problem.expected.empty()) text += "expected " + problem.expected;
  if (!problem.found.empty()) text += (problem.expected.empty() ? "" : ", found ") + problem.found;
  return text;
}

}  // namespace boardlore
