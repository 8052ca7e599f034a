// Lines cut into cells, as every spreadsheet and layout tool means something else by "CSV".
//
// The problem: the delimiter is not written anywhere, a quote may be an inch mark, a comma may be a decimal
// sign. This file only cuts; which delimiter is right is decided by placement_table.cpp, from which cut
// shows a header that makes sense. Quoting follows RFC 4180 (a quote opens a cell only at its start).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "import/import_text.h"

namespace boardlore {

// blanks: runs of blanks and tabs; wide_blanks: two or more, so that single blanks stay inside a cell.
enum class Delimiter { comma, semicolon, tab, bar, blanks, wide_blanks };
std::string_view delimiter_name(Delimiter delimiter);

struct TableRow {
  int line = 0;                    // where it starts, from 1
  std::vector<std::string> cells;  // trimmed, quotes taken off
};

// One line or, with quoted line breaks, several. `at` moves behind the row. nullopt: a quote that is opened
// and not closed within a few lines; `at` then stands behind the first line, so that only that is lost.
std::optional<std::vector<std::string>> cut_row(std::string_view text, std::size_t& at, Delimiter delimiter);

// How numbers of this table are written: decided once for the whole table, not cell by cell.
enum class DecimalSign { point, comma };

struct DecimalEvidence {
  DecimalSign sign = DecimalSign::point;
  bool ambiguous = false;  // "1,234" everywhere: either is possible
};
DecimalEvidence decimal_sign_of(const std::vector<std::string_view>& numbers);

enum class LengthUnit { mm, mil, inch, micrometre };
double mm_per(LengthUnit unit);
std::string_view length_unit_name(LengthUnit unit);
// "mm", "millimeters", "mil", "thou", "in", "inch", "\"", "um" and kin, any case; nullopt: not a unit.
std::optional<LengthUnit> parse_length_unit(std::string_view word);

struct TableNumber {
  double value = 0;                // as written, before any unit
  std::optional<LengthUnit> unit;  // where the cell says one: "12.5mm"
};
// The whole cell must be a finite number, with the other sign only as a thousands mark, and perhaps a unit
// (or a degree sign where `angle`).
std::optional<TableNumber> parse_table_number(std::string_view cell, DecimalSign sign, bool angle = false);

// Lower case, letters and digits only (UTF-8 beyond ASCII kept): "Center-X(mm)" -> "centerxmm".
std::string bare_word(std::string_view text);
std::string_view trimmed(std::string_view text);

}  // namespace boardlore
