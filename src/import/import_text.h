// The bytes of a table or netlist as lines of UTF-8.
//
// Lists come from any tool of the last thirty years: with a byte order mark, in UTF-16, in an eight-bit
// Windows set, with any line end. What was taken is said in a remark; what is not text at all (a picture, a
// spreadsheet's zip) is refused with what it looks like.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "domain/problem.h"

namespace boardlore {

// At the edge: accepted. Far above any board's list, low enough that a wrong file does not fill the memory.
constexpr std::size_t max_import_bytes = 64U << 20U;
constexpr std::size_t max_import_rows = 1'000'000;
// Rows that were not understood are all counted; only so many are kept with their reason.
constexpr std::size_t max_refused_rows_kept = 1000;

// A line or row of the file that was not taken, and why.
struct RefusedRow {
  int line = 0;  // from 1
  std::string reason;
  bool operator==(const RefusedRow&) const = default;
};

struct ImportText {
  std::string text;                  // UTF-8, line feeds only
  std::vector<std::string> remarks;  // "UTF-16 (little-endian)"
};

Result<ImportText> decode_import_text(std::string_view bytes, std::string_view file);

// Well-formed UTF-8 (RFC 3629: no overlong form, no surrogate).
bool is_utf8(std::string_view text);

// At most `length` bytes of a cell, for a message; cut with "..." at a character's start.
std::string shortened(std::string_view text, std::size_t length = 40);

}  // namespace boardlore
