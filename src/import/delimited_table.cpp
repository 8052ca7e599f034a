#include "import/delimited_table.h"

#include <cctype>
#include <charconv>
#include <cmath>

namespace boardlore {
namespace {

constexpr int max_lines_of_a_cell = 10;  // a quoted cell of a parts list has a line break or two at most

bool is_blank(char c) { return c == ' ' || c == '\t'; }

char sign_of(Delimiter delimiter) {
  switch (delimiter) {
    case Delimiter::comma:
      return ',';
    case Delimiter::semicolon:
      return ';';
    case Delimiter::tab:
      return '\t';
    case Delimiter::bar:
      return '|';
    default:
      return ' ';
  }
}

bool cuts_at_blanks(Delimiter delimiter) {
  return delimiter == Delimiter::blanks || delimiter == Delimiter::wide_blanks;
}

// Behind the opening quote: the cell's text, `at` behind the closing quote. nullopt: not closed.
std::optional<std::string> quoted_cell(std::string_view text, std::size_t& at, bool one_line) {
  std::string cell;
  int breaks = 0;
  while (at < text.size()) {
    const char c = text[at++];
    if (c == '"') {
      if (at < text.size() && text[at] == '"') {
        cell += '"';
        ++at;
        continue;
      }
      return cell;
    }
    if (c == '\n' && (one_line || ++breaks >= max_lines_of_a_cell)) return std::nullopt;
    cell += c;
  }
  return std::nullopt;
}

}  // namespace

std::string_view delimiter_name(Delimiter delimiter) {
  switch (delimiter) {
    case Delimiter::comma:
      return "comma";
    case Delimiter::semicolon:
      return "semicolon";
    case Delimiter::tab:
      return "tab";
    case Delimiter::bar:
      return "bar";
    case Delimiter::blanks:
      return "blanks";
    case Delimiter::wide_blanks:
      return "two or more blanks";
  }
  return "";
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && (is_blank(text.front()) || text.front() == '\n')) text.remove_prefix(1);
  while (!text.empty() && (is_blank(text.back()) || text.back() == '\n')) text.remove_suffix(1);
  // A no-break space (U+00A0) is a blank that spreadsheets like.
  while (text.substr(0, 2) == "\xC2\xA0") text.remove_prefix(2);
  while (text.size() >= 2 && text.substr(text.size() - 2) == "\xC2\xA0") text.remove_suffix(2);
  return text;
}

std::optional<std::vector<std::string>> cut_row(std::string_view text, std::size_t& at, Delimiter delimiter) {
  const std::size_t start = at;
  const bool at_blanks = cuts_at_blanks(delimiter);
  const std::size_t run = delimiter == Delimiter::wide_blanks ? 2 : 1;
  const char sign = sign_of(delimiter);
  std::vector<std::string> cells;
  const auto give_up = [&]() -> std::optional<std::vector<std::string>> {
    const std::size_t end = text.find('\n', start);
    at = end == std::string_view::npos ? text.size() : end + 1;
    return std::nullopt;
  };
  const auto blanks_at = [&](std::size_t i) {
    std::size_t n = 0;
    while (i + n < text.size() && is_blank(text[i + n])) ++n;
    return n;
  };
  while (true) {
    // A tab is a delimiter of its own, not a blank to skip, where tabs cut.
    while (at < text.size() && (text[at] == ' ' || (text[at] == '\t' && delimiter != Delimiter::tab))) ++at;
    if (at >= text.size() || text[at] == '\n') {
      if (!at_blanks) cells.emplace_back();
      break;
    }
    std::string cell;
    if (text[at] == '"') {
      ++at;
      auto quoted = quoted_cell(text, at, at_blanks);
      if (!quoted) return give_up();
      cell = std::move(*quoted);
      // Text behind a closing quote belongs to the cell: "5" x 3.
    }
    const std::size_t from = at;
    while (at < text.size() && text[at] != '\n') {
      if (at_blanks ? blanks_at(at) >= run || (text[at] == '\t') : text[at] == sign) break;
      ++at;
    }
    cell += text.substr(from, at - from);
    cells.emplace_back(trimmed(cell));
    if (at >= text.size() || text[at] == '\n') break;
    if (!at_blanks) ++at;
  }
  if (at < text.size()) ++at;
  return cells;
}

DecimalEvidence decimal_sign_of(const std::vector<std::string_view>& numbers) {
  std::size_t point = 0, comma = 0, either = 0;
  for (const std::string_view number : numbers) {
    const std::size_t last_comma = number.rfind(','), last_point = number.rfind('.');
    const bool has_comma = last_comma != std::string_view::npos,
               has_point = last_point != std::string_view::npos;
    if (has_comma && has_point) {
      ++(last_comma > last_point ? comma : point);
    } else if (has_point) {
      ++point;
    } else if (has_comma) {
      std::size_t digits = 0, before = 0;
      for (std::size_t i = last_comma + 1;
           i < number.size() && std::isdigit(static_cast<unsigned char>(number[i])); ++i)
        ++digits;
      for (std::size_t i = last_comma; i > 0 && std::isdigit(static_cast<unsigned char>(number[i - 1])); --i)
        ++before;
      const bool leading_zero = before > 1 && number[last_comma - before] == '0';
      const bool thousands = digits == 3 && before >= 1 && before <= 3 && !leading_zero &&
                             !(before == 1 && number[last_comma - 1] == '0');
      ++(thousands ? either : comma);
    }
  }
  if (comma > 0 && comma >= point) return {DecimalSign::comma, point > 0};
  if (point > 0) return {DecimalSign::point, comma > 0};
  return {either > 0 ? DecimalSign::comma : DecimalSign::point, either > 0};
}

double mm_per(LengthUnit unit) {
  switch (unit) {
    case LengthUnit::mm:
      return 1;
    case LengthUnit::mil:
      return 0.0254;  // international inch of 25.4 mm, exactly
    case LengthUnit::inch:
      return 25.4;
    case LengthUnit::micrometre:
      return 0.001;
  }
  return 1;
}

std::string_view length_unit_name(LengthUnit unit) {
  switch (unit) {
    case LengthUnit::mm:
      return "mm";
    case LengthUnit::mil:
      return "mil";
    case LengthUnit::inch:
      return "inch";
    case LengthUnit::micrometre:
      return "um";
  }
  return "";
}

std::optional<LengthUnit> parse_length_unit(std::string_view word) {
  word = trimmed(word);
  if (word == "\"" || word == "''") return LengthUnit::inch;
  std::string bare = bare_word(word);
  for (const char* name : {"mm", "millimeter", "millimeters", "millimetre", "millimetres", "metric"})
    if (bare == name) return LengthUnit::mm;
  for (const char* name : {"mil", "mils", "thou", "thousandth", "thousandths"})
    if (bare == name) return LengthUnit::mil;
  for (const char* name : {"in", "inch", "inches", "zoll", "imperial"})
    if (bare == name) return LengthUnit::inch;
  for (const char* name :
       {"um", "\xC2\xB5m", "\xCE\xBCm", "micron", "microns", "micrometer", "micrometers", "micrometre"})
    if (bare == name) return LengthUnit::micrometre;
  return std::nullopt;
}

std::optional<TableNumber> parse_table_number(std::string_view cell, DecimalSign sign, bool angle) {
  cell = trimmed(cell);
  const char decimal = sign == DecimalSign::comma ? ',' : '.',
             thousands = sign == DecimalSign::comma ? '.' : ',';
  std::string plain;
  std::size_t i = 0;
  if (i < cell.size() && (cell[i] == '+' || cell[i] == '-')) {
    if (cell[i] == '-') plain += '-';
    ++i;
  } else if (cell.substr(0, 3) == "\xE2\x88\x92") {  // U+2212, the minus that word processors write
    plain += '-';
    i += 3;
  }
  std::size_t digits = 0, since_mark = 0;
  bool marked = false, past_decimal = false;
  for (; i < cell.size(); ++i) {
    const char c = cell[i];
    if (c >= '0' && c <= '9') {
      plain += c;
      ++digits, ++since_mark;
    } else if (c == decimal && !past_decimal) {
      if (marked && since_mark != 3) return std::nullopt;
      plain += '.';
      past_decimal = true;
    } else if (c == thousands && !past_decimal && digits > 0 && (marked ? since_mark == 3 : digits <= 3)) {
      marked = true;
      since_mark = 0;
    } else {
      break;
    }
  }
  if (digits == 0 || digits > 30 || (marked && !past_decimal && since_mark != 3)) return std::nullopt;
  // An exponent only where a digit or sign follows, so that "5e" stays an unknown unit.
  if (i + 1 < cell.size() && (cell[i] == 'e' || cell[i] == 'E') &&
      (std::isdigit(static_cast<unsigned char>(cell[i + 1])) || cell[i + 1] == '-' || cell[i + 1] == '+')) {
    plain += 'e';
    ++i;
    if (cell[i] == '+')
      ++i;
    else if (cell[i] == '-')
      plain += cell[i++];
    std::size_t exponent_digits = 0;
    for (; i < cell.size() && std::isdigit(static_cast<unsigned char>(cell[i])); ++i, ++exponent_digits)
      plain += cell[i];
    if (exponent_digits == 0 || exponent_digits > 3) return std::nullopt;
  }
  TableNumber number;
  const auto [end, error] = std::from_chars(plain.data(), plain.data() + plain.size(), number.value);
  if (error != std::errc{} || end != plain.data() + plain.size() || !std::isfinite(number.value))
    return std::nullopt;
  const std::string_view rest = trimmed(cell.substr(i));
  if (rest.empty()) return number;
  if (angle) {
    const std::string bare = bare_word(rest);
    if (rest == "\xC2\xB0" || bare == "deg" || bare == "degree" || bare == "degrees") return number;
    return std::nullopt;
  }
  number.unit = parse_length_unit(rest);
  if (!number.unit) return std::nullopt;
  return number;
}

std::string bare_word(std::string_view text) {
  std::string bare;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte >= 0x80 || std::isalnum(byte))
      bare += static_cast<char>(byte < 0x80 ? std::tolower(byte) : byte);
  }
  return bare;
}

}  // namespace boardlore
