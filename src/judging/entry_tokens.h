// An entry line cut at its white space, with the place of each piece, so that a fault can name a character.
#pragma once

#include <string_view>
#include <vector>

namespace boardlore {

struct EntryToken {
  std::string_view text;
  std::size_t start = 0, end = 0;  // bytes of the line
};

// White space: blanks, tabs and the fixed spaces that a page or a spreadsheet pastes.
std::vector<EntryToken> entry_tokens(std::string_view text);
// The character at a byte, from 1.
std::size_t column_of(std::string_view text, std::size_t byte);
// The first byte that is a control character or not UTF-8 (RFC 3629); npos: none.
std::size_t unreadable_byte(std::string_view text);

}  // namespace boardlore
