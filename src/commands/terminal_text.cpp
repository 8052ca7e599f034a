#include "commands/terminal_text.h"

#include <cstdio>

namespace boardlore {
namespace {

// Length of the well-formed UTF-8 sequence at the start (RFC 3629), 0 if there is none.
std::size_t sequence_length(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const auto follows = [&](std::size_t i) { return i < text.size() && (byte(i) & 0xC0U) == 0x80U; };
  const unsigned char first = byte(0);
  if (first < 0x80) return 1;
  if (first >= 0xC2 && first <= 0xDF) return follows(1) ? 2 : 0;
  if (first >= 0xE0 && first <= 0xEF) {
    if (!follows(1) || !follows(2)) return 0;
    const bool overlong = first == 0xE0 && byte(1) < 0xA0, surrogate = first == 0xED && byte(1) > 0x9F;
    return overlong || surrogate ? 0 : 3;
  }
  if (first >= 0xF0 && first <= 0xF4) {
    if (!follows(1) || !follows(2) || !follows(3)) return 0;
    const bool overlong = first == 0xF0 && byte(1) < 0x90, beyond = first == 0xF4 && byte(1) > 0x8F;
    return overlong || beyond ? 0 : 4;
  }
  return 0;
}

}  // namespace

std::string safe_for_terminal(std::string_view text) {
  std::string safe;
  safe.reserve(text.size());
  while (!text.empty()) {
    std::size_t length = sequence_length(text);
    const auto first = static_cast<unsigned char>(text[0]);
    const bool control = (first < 0x20 && first != '\n') || first == 0x7F ||
                         (length == 2 && first == 0xC2 && static_cast<unsigned char>(text[1]) < 0xA0);
    if (length == 0 || control) {
      if (length == 0) length = 1;
      for (std::size_t i = 0; i < length; ++i) {
        char escaped[8];
        std::snprintf(escaped, sizeof escaped, "\\x%02X", static_cast<unsigned char>(text[i]));
        safe += escaped;
      }
    } else {
      safe.append(text.substr(0, length));
    }
    text.remove_prefix(length);
  }
  return safe;
}

}  // namespace boardlore
