#include "overlay/xml_text.h"

#include <cstdint>

namespace boardlore {
namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD";

struct Character {
  std::uint32_t code = 0;
  std::size_t bytes = 1;
  bool well_formed = false;
};

// The character at the start (RFC 3629); text is not empty.
Character first_of(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char lead = byte(0);
  if (lead < 0x80) return {lead, 1, true};
  const std::size_t bytes = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || text.size() < bytes) return {};
  std::uint32_t code = bytes == 2 ? lead & 0x1FU : bytes == 3 ? lead & 0x0FU : lead & 0x07U;
  for (std::size_t i = 1; i < bytes; ++i) {
    if ((byte(i) & 0xC0U) != 0x80U) return {};
    code = code << 6 | (byte(i) & 0x3FU);
  }
  const std::uint32_t least = bytes == 2 ? 0x80 : bytes == 3 ? 0x800 : 0x10000;
  if (code < least || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) return {};
  return {code, bytes, true};
}

bool may_be_shown(std::uint32_t code) {
  if (code == '\n' || code == '\t') return true;
  if (code < 0x20 || (code >= 0x7F && code < 0xA0)) return false;
  if (code == 0x061C || code == 0x200E || code == 0x200F) return false;  // direction marks
  if ((code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069)) return false;
  if (code == 0x2028 || code == 0x2029) return false;
  return code != 0xFFFE && code != 0xFFFF;
}

}  // namespace

std::string clean_text(std::string_view text) {
  std::string clean;
  clean.reserve(text.size());
  while (!text.empty()) {
    const Character c = first_of(text);
    if (c.well_formed && may_be_shown(c.code))
      clean.append(text.substr(0, c.bytes));
    else if (!(c.well_formed && c.code == '\r'))
      clean.append(replacement);
    text.remove_prefix(c.bytes);
  }
  return clean;
}

std::string escape_xml(std::string_view text) {
  std::string escaped;
  for (const char c : clean_text(text)) switch (c) {
      case '&': escaped += "&amp;"; break;
      case '<': escaped += "&lt;"; break;
      case '>': escaped += "&gt;"; break;
      case '"': escaped += "&quot;"; break;
      case '\'': escaped += "&#39;"; break;
      default: escaped += c;
    }
  return escaped;
}

}  // namespace boardlore
