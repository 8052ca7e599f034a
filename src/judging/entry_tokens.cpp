#include "judging/entry_tokens.h"

namespace boardlore {
namespace {

// Bytes of the white space at `at`: blanks, tabs and the spaces a spreadsheet or a page pastes.
std::size_t space_at(std::string_view text, std::size_t at) {
  if (text[at] == ' ' || text[at] == '\t') return 1;
  for (const std::string_view space : {std::string_view("\u00A0"), std::string_view("\u202F"), std::string_view("\u2009")})
    if (text.substr(at).starts_with(space)) return space.size();
  return 0;
}

}  // namespace

std::vector<EntryToken> entry_tokens(std::string_view text) {
  std::vector<EntryToken> tokens;
  for (std::size_t at = 0; at < text.size();) {
    if (const std::size_t space = space_at(text, at)) {
      at += space;
      continue;
    }
    const std::size_t start = at;
    while (at < text.size() && space_at(text, at) == 0) ++at;
    tokens.push_back({text.substr(start, at - start), start, at});
  }
  return tokens;
}

std::size_t column_of(std::string_view text, std::size_t byte) {
  std::size_t column = 1;
  for (std::size_t i = 0; i < byte && i < text.size(); ++i)
    if ((static_cast<unsigned char>(text[i]) & 0xC0U) != 0x80U) ++column;
  return column;
}

std::size_t unreadable_byte(std::string_view text) {
  for (std::size_t i = 0; i < text.size();) {
    const auto first = static_cast<unsigned char>(text[i]);
    const std::size_t length = first < 0x80 ? 1 : first >= 0xC2 && first <= 0xDF ? 2 : first >= 0xE0 && first <= 0xEF ? 3
                             : first >= 0xF0 && first <= 0xF4 ? 4 : 0;
    if (length == 0 || i + length > text.size() || (first < 0x20 && first != '\t') || first == 0x7F) return i;
    for (std::size_t j = 1; j < length; ++j)
      if ((static_cast<unsigned char>(text[i + j]) & 0xC0U) != 0x80U) return i;
    if (length == 3) {
      const auto second = static_cast<unsigned char>(text[i + 1]);
      if ((first == 0xE0 && second < 0xA0) || (first == 0xED && second > 0x9F)) return i;
    } else if (length == 4) {
      const auto second = static_cast<unsigned char>(text[i + 1]);
      if ((first == 0xF0 && second < 0x90) || (first == 0xF4 && second > 0x8F)) return i;
    }
    i += length;
  }
  return std::string_view::npos;
}

}  // namespace boardlore
