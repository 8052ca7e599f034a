#include "storage/safe_name.h"

namespace boardlore {
namespace {

bool forbidden(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return byte < 0x20 || byte == 0x7F || c == '\\' || c == ':' || c == '*' || c == '?' || c == '"' || c == '<' || c == '>' || c == '|';
}

}  // namespace

bool is_safe_relative_path(std::string_view path) {
  if (path.empty() || path.size() > 240 || path.front() == '/' || path.back() == '/') return false;
  std::size_t start = 0;
  while (start <= path.size()) {
    const std::size_t end = std::min(path.find('/', start), path.size());
    const std::string_view part = path.substr(start, end - start);
    if (part.empty() || part == "." || part == "..") return false;
    for (const char c : part)
      if (forbidden(c)) return false;
    start = end + 1;
  }
  return true;
}

std::string safe_file_name(std::string_view name) {
  if (const auto slash = name.find_last_of("/\\"); slash != std::string_view::npos) name.remove_prefix(slash + 1);
  std::string safe;
  for (const char c : name.substr(0, 120)) safe += forbidden(c) ? '_' : c;
  if (safe.empty() || safe == "." || safe == "..") safe = "photo";
  return safe;
}

}  // namespace boardlore
