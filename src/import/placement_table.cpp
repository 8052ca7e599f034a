#include "import/placement_table.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <cstdio>
#include <map>
#include <unordered_map>

#include "editing/mark_rules.h"
#include "import/placement_columns.h"

namespace boardlore {
namespace {

constexpr std::array<Delimiter, 6> all_delimiters{Delimiter::tab, Delimiter::semicolon,   Delimiter::comma,
                                                  Delimiter::bar, Delimiter::wide_blanks, Delimiter::blanks};
constexpr int most_header_lines = 300;  // preambles of reports run to some dozens of lines
constexpr std::size_t longest_header = 8192;

// What stands in the needed cells of one row, still as text.
struct RawRow {
  int line = 0;
  std::array<std::string, placement_column_count> cells;
};

bool cuts_at_blanks(Delimiter delimiter) {
  return delimiter == Delimiter::blanks || delimiter == Delimiter::wide_blanks;
}

std::string_view line_at(std::string_view text, std::size_t at) {
  return text.substr(at, std::min(text.find('\n', at), text.size()) - at);
}

// How much of the line's start marks it as a comment; 0: it is not one.
std::size_t comment_mark(std::string_view line, std::optional<Delimiter> delimiter) {
  const std::size_t start = line.find_first_not_of(" \t");
  if (start == std::string_view::npos) return 0;
  const std::string_view body = line.substr(start);
  if (body.substr(0, 2) == "//") return start + 2;
  if (body[0] == ';' && delimiter != Delimiter::semicolon) return start + 1;
  if (body[0] == '#' || body[0] == '!' || body[0] == '%' || body[0] == '*')
    return start + std::min(body.find_first_not_of("#!%*"), body.size());
  return 0;
}

bool is_ruler(std::string_view line) {
  return line.find_first_not_of(" \t-=_+|*#~.,;") == std::string_view::npos;
}

// The unit that a line above the table says: "Units used: mm", "UUNITS = MILS", "# X,Y in mils."
std::optional<LengthUnit> unit_said_in(std::string_view line) {
  if (line.size() > 400) return std::nullopt;
  std::string lower(line);
  for (char& c : lower) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  const bool about_units = lower.find("unit") != std::string::npos;
  const bool about_lengths =
      about_units || lower.find("coord") != std::string::npos || lower.find("x,y") != std::string::npos ||
      lower.find("x, y") != std::string::npos || lower.find("dimension") != std::string::npos ||
      lower.find("position") != std::string::npos;
  if (!about_lengths) return std::nullopt;
  std::optional<LengthUnit> said;
  std::string word;
  for (std::size_t i = 0; i <= lower.size(); ++i) {
    if (i < lower.size() && std::isalpha(static_cast<unsigned char>(lower[i]))) {
      word += lower[i];
      continue;
    }
    const std::optional<LengthUnit> unit = parse_length_unit(word);
    // "in" is an English word as well: a unit only at the end of a line about units.
    const bool is_word_in =
        word == "in" &&
        !(about_units && trimmed(lower.substr(i)).find_first_not_of(" .;,)") == std::string_view::npos);
    if (unit && !is_word_in) {
      if (said && *said != *unit) return std::nullopt;
      said = unit;
    }
    word.clear();
  }
  return said;
}

// Whether a rotation's header or a line about rotations says that they are counted clockwise.
bool says_clockwise(std::string_view words) {
  const std::string bare = bare_word(words);
  if (bare.find("ccw") != std::string::npos || bare.find("counter") != std::string::npos || bare.find("anti") != std::string::npos) return false;
  if (bare.find("clockwise") != std::string::npos) return true;
  const std::size_t open = words.find_first_of("([{");
  return open != std::string_view::npos && bare_word(words.substr(open)) == "cw";
}

std::string upper(std::string word) {
  for (char& c : word) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return word;
}

struct Header {
  HeaderMatch match;
  Delimiter delimiter = Delimiter::comma;
  std::vector<std::string> cells;
  std::string line_text;
  int line = 0;
  std::size_t after = 0;  // where the rows start
};

// The first line that some cut makes a header of; of the cuts, the one that names most columns.
std::optional<Header> find_header(std::string_view text) {
  int line = 1;
  for (std::size_t at = 0; at < text.size() && line <= most_header_lines; ++line) {
    const std::string_view whole = line_at(text, at);
    std::optional<Header> best;
    if (whole.size() <= longest_header) {
      const std::size_t mark = comment_mark(whole, std::nullopt);
      const std::string_view candidates[] = {whole, whole.substr(mark)};
      for (std::size_t c = 0; c < (mark > 0 ? 2U : 1U); ++c)
        for (const Delimiter delimiter : all_delimiters) {
          std::size_t in_line = 0;
          const auto cells = cut_row(candidates[c], in_line, delimiter);
          if (!cells) continue;
          HeaderMatch match = match_header(*cells);
          if (!match.usable() || (best && best->match.found >= match.found)) continue;
          best = Header{std::move(match), delimiter, *cells, std::string(whole), line, 0};
        }
    }
    at += whole.size() + 1;
    if (best) {
      best->after = std::min(at, text.size());
      return best;
    }
  }
  return std::nullopt;
}

// Where each column of the header starts, for tables whose columns are aligned with blanks.
std::vector<std::size_t> column_starts(const Header& header) {
  std::vector<std::size_t> starts;
  std::size_t from = comment_mark(header.line_text, header.delimiter);
  for (const std::string& cell : header.cells) {
    const std::size_t at = header.line_text.find(cell, from);
    if (at == std::string::npos) return {};
    starts.push_back(at);
    from = at + cell.size();
  }
  if (!starts.empty()) starts[0] = 0;
  return starts;
}

// Bytes are counted, not characters: a table with aligned non-ASCII text falls back to its blanks.
std::optional<std::vector<std::string>> cut_at_columns(std::string_view line,
                                                       const std::vector<std::size_t>& starts) {
  std::vector<std::string> cells;
  for (std::size_t i = 0; i < starts.size(); ++i) {
    if (starts[i] > 0 && starts[i] <= line.size() && line[starts[i] - 1] != ' ' &&
        line[starts[i] - 1] != '\t')
      return std::nullopt;
    const std::size_t end = i + 1 < starts.size() ? starts[i + 1] : line.size();
    std::string_view cell =
        starts[i] < line.size() ? trimmed(line.substr(starts[i], end - starts[i])) : std::string_view{};
    if (cell.size() >= 2 && cell.front() == '"' && cell.back() == '"') cell = cell.substr(1, cell.size() - 2);
    cells.emplace_back(cell);
  }
  return cells;
}

bool columns_are_aligned(std::string_view text, std::size_t at, const std::vector<std::size_t>& starts) {
  if (starts.size() < 3) return false;
  int seen = 0, clean = 0;
  while (at < text.size() && seen < 200) {
    const std::string_view line = line_at(text, at);
    at += line.size() + 1;
    if (trimmed(line).empty() || is_ruler(line) || line.find('\t') != std::string_view::npos) continue;
    ++seen;
    if (cut_at_columns(line, starts)) ++clean;
  }
  return seen > 0 && clean * 100 >= seen * 95;
}

class Reader {
 public:
  Reader(std::string_view text, std::string_view file, const PlacementOptions& options)
      : text_(text), file_(file), options_(options) {}

  Result<PlacementTable> read(std::vector<std::string> remarks) {
    table_.remarks = std::move(remarks);
    skip_separator_line();
    if (!options_.columns.empty()) {
      if (auto problem = take_named_columns()) return *problem;
    } else if (auto header = find_header(text_)) {
      header_ = std::move(*header);
    } else if (!take_columns_by_content()) {
      return Problem{std::string(file_), "", "a header line that names a designator, an X and a Y column",
                     "none in the first " + std::to_string(most_header_lines) +
                         " lines, and the columns cannot be told by their content (name them with --columns "
                         "refdes,x,y,...)",
                     Outcome::bad_input};
    }
    if (header_.match.units_differ)
      return Problem{std::string(file_), "line " + std::to_string(header_.line), "one unit for X and Y",
                     "two", Outcome::bad_input};
    table_.delimiter = header_.delimiter;
    collect();
    if (too_long_)
      return Problem{std::string(file_), "", "at most " + std::to_string(max_import_rows) + " rows", "more",
                     Outcome::bad_input};
    interpret();
    if (table_.rows.empty()) {
      std::string found = "none in " + std::to_string(table_.refused_count) + " rows";
      if (!table_.refused.empty())
        found += "; the first, on line " + std::to_string(table_.refused[0].line) + ": " +
                 table_.refused[0].reason;
      return Problem{std::string(file_), "", "rows with a designator, X and Y", std::move(found),
                     Outcome::bad_input};
    }
    return std::move(table_);
  }

 private:
  void refuse(int line, std::string reason) {
    ++table_.refused_count;
    if (table_.refused.size() < max_refused_rows_kept) table_.refused.push_back({line, std::move(reason)});
  }
  std::size_t at(PlacementColumn column) const { return static_cast<std::size_t>(column); }
  bool has(PlacementColumn column) const { return header_.match.index[at(column)].has_value(); }

  // "sep=;": a spreadsheet's own line.
  void skip_separator_line() {
    const std::string_view line = line_at(text_, 0);
    if (line.size() == 5 && line.substr(0, 4) == "sep=") first_ = 6;
  }

  std::optional<Problem> take_named_columns() {
    for (std::size_t i = 0; i < options_.columns.size(); ++i) {
      const std::string& name = options_.columns[i];
      if (name == "-") continue;
      bool known = false;
      for (std::size_t role = 0; role < placement_column_count; ++role)
        if (name == placement_column_name(static_cast<PlacementColumn>(role))) {
          header_.match.index[role] = i;
          known = true;
        }
      if (!known)
        return Problem{"", "--columns", "refdes, x, y, rotation, side, value, package or -",
                       "\"" + shortened(name) + "\"", Outcome::bad_input};
    }
    if (!header_.match.usable())
      return Problem{"", "--columns", "refdes, x and y among them", "not all three", Outcome::bad_input};
    header_.delimiter = likeliest_cut().first;
    header_.cells.resize(options_.columns.size());
    header_.after = first_;
    return std::nullopt;
  }

  // The cut that gives most of the first lines one and the same number of cells, three at least.
  std::pair<Delimiter, std::vector<std::vector<std::string>>> likeliest_cut() const {
    std::pair<Delimiter, std::vector<std::vector<std::string>>> best{Delimiter::comma, {}};
    for (const Delimiter delimiter : all_delimiters) {
      std::map<std::size_t, std::vector<std::vector<std::string>>> by_size;
      std::size_t at = first_;
      for (int line = 0; at < text_.size() && line < 500; ++line) {
        const std::string_view whole = line_at(text_, at);
        if (whole.size() > longest_header || trimmed(whole).empty() || comment_mark(whole, delimiter) > 0 ||
            is_ruler(whole)) {
          at += whole.size() + 1;
          continue;
        }
        auto cells = cut_row(text_, at, delimiter);
        if (cells && cells->size() >= 3) by_size[cells->size()].push_back(std::move(*cells));
      }
      for (auto& [size, rows] : by_size)
        if (rows.size() > best.second.size()) best = {delimiter, std::move(rows)};
    }
    return best;
  }

  // Without a header: a column of designators, then two (or, with the rotation, three) columns of numbers.
  // With more columns of numbers there is no telling, and the table is refused.
  bool take_columns_by_content() {
    auto [delimiter, rows] = likeliest_cut();
    if (rows.size() < 2) return false;
    const std::size_t columns = rows[0].size();
    std::vector<std::size_t> numbers;
    for (std::size_t c = 0; c < columns; ++c) {
      std::size_t designators = 0, numeric = 0, sides = 0;
      bool angles = true;
      for (const auto& row : rows) {
        if (is_designator(row[c])) ++designators;
        auto number = parse_table_number(row[c], DecimalSign::point);
        if (!number) number = parse_table_number(row[c], DecimalSign::comma);
        if (number) ++numeric;
        if (!number || number->unit || std::fabs(number->value) > 360) angles = false;
        if (side_of(row[c], {}, false)) ++sides;
      }
      if (!has(PlacementColumn::refdes) && designators * 10 >= rows.size() * 9) {
        header_.match.index[at(PlacementColumn::refdes)] = c;
      } else if (numeric * 20 >= rows.size() * 19) {
        numbers.push_back(c);
        if (numbers.size() == 3 && !angles) return false;
      } else if (!has(PlacementColumn::side) && sides * 20 >= rows.size() * 19) {
        header_.match.index[at(PlacementColumn::side)] = c;
      }
    }
    if (!has(PlacementColumn::refdes) || numbers.size() < 2 || numbers.size() > 3) return false;
    header_.match.index[at(PlacementColumn::x)] = numbers[0];
    header_.match.index[at(PlacementColumn::y)] = numbers[1];
    if (numbers.size() == 3) header_.match.index[at(PlacementColumn::rotation)] = numbers[2];
    header_.delimiter = delimiter;
    header_.cells.resize(columns);
    header_.after = first_;
    std::string remark = "no header line; columns taken by their content:";
    for (std::size_t role = 0; role < placement_column_count; ++role)
      if (header_.match.index[role])
        remark += " " + std::to_string(*header_.match.index[role] + 1) + " " +
                  std::string(placement_column_name(static_cast<PlacementColumn>(role)));
    table_.remarks.push_back(remark + " (override with --columns)");
    return true;
  }

  // Cuts all rows and keeps the needed cells.
  void collect() {
    int line = 1;
    std::size_t position = 0;
    std::optional<LengthUnit> said;
    for (; position < header_.after; ++line) {
      const std::string_view whole = line_at(text_, position);
      if (position >= first_ && line != header_.line) {
        if (const auto unit = unit_said_in(whole)) said = unit;
        hear_of_rotations(whole);
      }
      position += whole.size() + 1;
    }
    const bool may_align = cuts_at_blanks(header_.delimiter) && !header_.line_text.empty();
    const std::vector<std::size_t> starts = may_align ? column_starts(header_) : std::vector<std::size_t>{};
    const bool aligned = columns_are_aligned(text_, position, starts);
    while (position < text_.size()) {
      const std::string_view whole = line_at(text_, position);
      const int row_line = line;
      if (trimmed(whole).empty() || trimmed(whole) == "\x1A" || is_ruler(whole) || comment_mark(whole, header_.delimiter) > 0) {
        if (raw_.empty()) {
          if (const auto unit = unit_said_in(whole)) said = unit;
          hear_of_rotations(whole);
        }
        position += whole.size() + 1, ++line;
        continue;
      }
      const std::size_t before = position;
      std::optional<std::vector<std::string>> cells = aligned ? cut_at_columns(whole, starts) : std::nullopt;
      if (cells) {
        position += whole.size() + 1;
      } else {
        cells = cut_row(text_, position, header_.delimiter);
      }
      line += static_cast<int>(
          std::count(text_.begin() + static_cast<std::ptrdiff_t>(before),
                     text_.begin() + static_cast<std::ptrdiff_t>(std::min(position, text_.size())), '\n'));
      if (!cells) {
        refuse(row_line, "a quote is opened and not closed");
        continue;
      }
      if (raw_.size() + table_.refused_count >= max_import_rows) {
        too_long_ = true;
        return;
      }
      keep(row_line, std::move(*cells));
    }
    if (header_.match.unit) {
      unit_ = header_.match.unit;
    } else if (unit_row_) {
      unit_ = unit_row_;
    } else {
      unit_ = said;
    }
  }

  // "# rotation: degrees clockwise", above the rows.
  void hear_of_rotations(std::string_view line) {
    if (line.size() > 400) return;
    const std::string bare = bare_word(line);
    for (const char* word : {"rotation", "angle", "orientation"})
      if (bare.find(word) != std::string::npos && says_clockwise(line)) clockwise_ = true;
  }

  // A second header line that holds nothing but units: ",mm,mm,deg,".
  bool is_unit_row(const std::vector<std::string>& cells) {
    const auto cell = [&](PlacementColumn column) -> std::string_view {
      const auto index = header_.match.index[at(column)];
      return index && *index < cells.size() ? std::string_view(cells[*index]) : std::string_view{};
    };
    const auto in_brackets = [](std::string_view word) {
      if (word.size() > 2 && (word.front() == '(' || word.front() == '[') && (word.back() == ')' || word.back() == ']')) word = word.substr(1, word.size() - 2);
      return parse_length_unit(word);
    };
    const auto x = in_brackets(cell(PlacementColumn::x)), y = in_brackets(cell(PlacementColumn::y));
    if (!x || x != y || is_designator(std::string(cell(PlacementColumn::refdes)))) return false;
    unit_row_ = x;
    radians_ = radians_ || bare_word(cell(PlacementColumn::rotation)).substr(0, 3) == "rad";
    return true;
  }

  void keep(int line, std::vector<std::string> cells) {
    // Single quotes round a whole cell, as some spreadsheets' macros write them.
    for (std::string& cell : cells)
      if (cell.size() >= 3 && cell.front() == '\'' && cell.back() == '\'') cell = std::string(trimmed(std::string_view(cell).substr(1, cell.size() - 2)));
    if (raw_.empty() && !unit_row_ && is_unit_row(cells)) return;
    const std::size_t expected = header_.cells.size();
    while (cells.size() > expected && cells.back().empty()) cells.pop_back();
    const bool few_are_told = cuts_at_blanks(header_.delimiter) && cells.size() < expected;
    if (cells.size() > expected || few_are_told) {
      refuse(line, std::to_string(cells.size()) + " cells where the header has " + std::to_string(expected) +
                       (cells.size() > expected ? " (a delimiter inside a cell without quotes?)"
                                                : " (an empty cell between blanks?)"));
      return;
    }
    RawRow row;
    row.line = line;
    for (std::size_t role = 0; role < placement_column_count; ++role) {
      const auto index = header_.match.index[role];
      if (!index) continue;
      if (*index < cells.size()) {
        row.cells[role] = std::move(cells[*index]);
      } else if (role <= at(PlacementColumn::y)) {
        refuse(line, "only " + std::to_string(cells.size()) + " cells; " +
                         std::string(placement_column_name(static_cast<PlacementColumn>(role))) +
                         " is missing");
        return;
      }
    }
    raw_.push_back(std::move(row));
  }

  DecimalSign decide_decimal_sign() {
    if (options_.decimal) return *options_.decimal;
    std::vector<std::string_view> numbers;
    for (const RawRow& row : raw_)
      for (const PlacementColumn column : {PlacementColumn::x, PlacementColumn::y, PlacementColumn::rotation})
        if (row.cells[at(column)].size() <= 40) numbers.push_back(row.cells[at(column)]);
    const DecimalEvidence evidence = decimal_sign_of(numbers);
    if (evidence.ambiguous)
      table_.remarks.push_back(std::string("commas and points in numbers can be read two ways; the ") +
                               (evidence.sign == DecimalSign::comma ? "comma" : "point") +
                               " is taken as the decimal sign (override with --decimal)");
    else if (evidence.sign == DecimalSign::comma)
      table_.remarks.push_back("numbers are written with a decimal comma");
    return evidence.sign;
  }

  // Without any word on units: what a board's size makes likely. Said, and checked again by the tie's scale.
  LengthUnit infer_unit(double span) {
    const LengthUnit unit = span > 800 ? LengthUnit::mil : LengthUnit::mm;
    char text[160];
    std::snprintf(text, sizeof text,
                  "no unit is said; taken as %s because the places span %.4g (override with --units)",
                  std::string(length_unit_name(unit)).c_str(), span);
    table_.remarks.emplace_back(text);
    table_.unit_inferred = true;
    return unit;
  }

  void interpret() {
    for (std::size_t role = 0; role < placement_column_count; ++role)
      if (const auto index = header_.match.index[role])
        table_.columns.push_back(std::string(placement_column_name(static_cast<PlacementColumn>(role))) +
                                 " = " +
                                 (header_.cells[*index].empty() ? "column " + std::to_string(*index + 1)
                                                                : shortened(header_.cells[*index])));
    if (!header_.match.not_centre.empty())
      table_.remarks.push_back("column \"" + shortened(header_.match.not_centre) +
                               "\" may name a reference point or a pad, not the body's centre");
    const DecimalSign sign = decide_decimal_sign();
    std::vector<std::string_view> side_cells;
    if (has(PlacementColumn::side))
      for (const RawRow& row : raw_) side_cells.push_back(row.cells[at(PlacementColumn::side)]);
    const SideReading sides = read_sides(side_cells, header_.match.mirror_column);
    if (!sides.remark.empty()) table_.remarks.push_back(sides.remark);
    if (!has(PlacementColumn::side))
      table_.remarks.push_back(std::string("no side column; all parts taken as on the ") +
                               std::string(side_name(options_.side.value_or(Side::top))) +
                               (options_.side ? "" : " (override with --side)"));
    if (!has(PlacementColumn::rotation))
      table_.remarks.emplace_back("no rotation column; rotations are left as they are");

    if (has(PlacementColumn::rotation)) {
      const std::string& words = header_.cells[*header_.match.index[at(PlacementColumn::rotation)]];
      radians_ = radians_ || bare_word(words).find("rad") != std::string::npos;
      clockwise_ = clockwise_ || says_clockwise(words);
      if (radians_) table_.remarks.emplace_back("rotations are in radians");
      if (clockwise_) table_.remarks.emplace_back("the file counts rotations clockwise; turned to counter-clockwise");
    }

    struct Length {
      double x, y;
      std::optional<LengthUnit> unit_x, unit_y;
    };
    std::vector<Length> lengths;
    std::unordered_map<std::string, int> first_line;
    std::size_t without_unit = 0, bottoms = 0;
    double low_x = 1e300, high_x = -1e300, low_y = 1e300, high_y = -1e300;
    for (RawRow& raw : raw_) {
      PlacementRow row;
      row.line = raw.line;
      row.refdes = std::move(raw.cells[at(PlacementColumn::refdes)]);
      if (!is_designator(row.refdes)) {
        refuse(raw.line,
               "\"" + shortened(row.refdes) + "\" is not a designator (letters and a number, as in C14)");
        continue;
      }
      const auto x = parse_table_number(raw.cells[at(PlacementColumn::x)], sign);
      const auto y = parse_table_number(raw.cells[at(PlacementColumn::y)], sign);
      if (!x || !y) {
        const PlacementColumn bad = !x ? PlacementColumn::x : PlacementColumn::y;
        refuse(raw.line, std::string(placement_column_name(bad)) + " is \"" + shortened(raw.cells[at(bad)]) +
                             "\", not a length");
        continue;
      }
      if (const std::string& cell = raw.cells[at(PlacementColumn::rotation)]; !cell.empty()) {
        const auto rotation = parse_table_number(cell, sign, true);
        if (!rotation || std::fabs(rotation->value) > 3600) {
          refuse(raw.line, "rotation is \"" + shortened(cell) + "\", not an angle in degrees");
          continue;
        }
        constexpr double deg_per_rad = 57.29577951308232;
        double turned = std::fmod(rotation->value * (radians_ ? deg_per_rad : 1) * (clockwise_ ? -1 : 1), 360.0);
        if (turned < 0) turned += 360;
        row.rotation_deg = turned >= 360 ? 0 : turned;
      }
      row.side = options_.side.value_or(Side::top);
      if (has(PlacementColumn::side)) {
        const std::string& cell = raw.cells[at(PlacementColumn::side)];
        const auto side = side_of(cell, sides, header_.match.mirror_column);
        if (!side) {
          refuse(raw.line, "side is \"" + shortened(cell) + "\", neither top nor bottom");
          continue;
        }
        row.side = *side;
      }
      const auto [entry, is_new] = first_line.emplace(upper(row.refdes), raw.line);
      if (!is_new) {
        refuse(raw.line, row.refdes + " stands on line " + std::to_string(entry->second) + " already");
        continue;
      }
      row.value = std::move(raw.cells[at(PlacementColumn::value)]);
      row.package = std::move(raw.cells[at(PlacementColumn::package)]);
      if (row.side == Side::bottom) ++bottoms;
      if (!x->unit || !y->unit) {
        ++without_unit;
        low_x = std::min(low_x, x->value), high_x = std::max(high_x, x->value);
        low_y = std::min(low_y, y->value), high_y = std::max(high_y, y->value);
      }
      lengths.push_back({x->value, y->value, x->unit, y->unit});
      table_.rows.push_back(std::move(row));
    }
    if (options_.unit && unit_ && *options_.unit != *unit_)
      table_.remarks.push_back("the file says " + std::string(length_unit_name(*unit_)) +
                               "; overridden with " + std::string(length_unit_name(*options_.unit)));
    if (options_.unit) unit_ = options_.unit;
    if (without_unit == 0 && !lengths.empty()) {
      table_.unit = *lengths[0].unit_x;
    } else if (unit_) {
      table_.unit = *unit_;
    } else if (without_unit > 0) {
      table_.unit = infer_unit(std::max(high_x - low_x, high_y - low_y));
    }
    if (bottoms > 0)
      table_.remarks.push_back("on the bottom: " + std::to_string(bottoms) +
                               "; their rotations are taken as seen from the top");
    settle_places(lengths);
  }

  template <class Lengths>
  void settle_places(const Lengths& lengths) {
    std::vector<PlacementRow> kept;
    kept.reserve(table_.rows.size());
    for (std::size_t i = 0; i < lengths.size(); ++i) {
      PlacementRow& row = table_.rows[i];
      row.at = {lengths[i].x * mm_per(lengths[i].unit_x.value_or(table_.unit)),
                lengths[i].y * mm_per(lengths[i].unit_y.value_or(table_.unit))};
      if (std::fabs(row.at.x_mm) > max_coordinate_mm || std::fabs(row.at.y_mm) > max_coordinate_mm) {
        refuse(row.line, row.refdes + " lies more than 10 m from the origin");
        continue;
      }
      kept.push_back(std::move(row));
    }
    table_.rows = std::move(kept);
  }

  std::string_view text_, file_;
  const PlacementOptions& options_;
  PlacementTable table_;
  Header header_;
  std::vector<RawRow> raw_;
  std::size_t first_ = 0;
  std::optional<LengthUnit> unit_;
  std::optional<LengthUnit> unit_row_;
  bool too_long_ = false, radians_ = false, clockwise_ = false;
};

}  // namespace

Result<PlacementTable> read_placement_table(std::string_view bytes, std::string_view file,
                                            const PlacementOptions& options) {
  Result<ImportText> decoded = decode_import_text(bytes, file);
  if (!decoded) return decoded.problem();
  return Reader(decoded->text, file, options).read(std::move(decoded->remarks));
}

}  // namespace boardlore
