#include "import/points_csv.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "editing/mark_rules.h"
#include "import/placement_columns.h"

namespace boardlore {
namespace {

enum Column { id, kind, refdes, side, x, y, rotation, radius, value, reason, text, column_count };

std::optional<Column> column_named(const std::string& bare) {
  const struct {
    const char* word;
    Column column;
  } words[] = {{"id", id}, {"kind", kind}, {"type", kind}, {"refdes", refdes}, {"ref", refdes}, {"designator", refdes}, {"name", refdes},
               {"reference", refdes}, {"side", side}, {"layer", side}, {"x", x}, {"posx", x}, {"y", y}, {"posy", y}, {"rotation", rotation},
               {"rotationdeg", rotation}, {"rot", rotation}, {"radius", radius}, {"value", value}, {"reason", reason}, {"text", text},
               {"note", text}, {"comment", text}, {"description", text}};
  for (const auto& word : words)
    if (bare == word.word) return word.column;
  return std::nullopt;
}

struct PointHeader {
  std::array<std::optional<std::size_t>, column_count> index;
  std::optional<LengthUnit> unit;
  Delimiter delimiter = Delimiter::comma;
  std::size_t cells = 0;
  int found = 0;
};

PointHeader match(const std::vector<std::string>& cells, Delimiter delimiter) {
  PointHeader header;
  header.delimiter = delimiter;
  header.cells = cells.size();
  for (std::size_t i = 0; i < cells.size() && i < 200; ++i) {
    std::string bare = bare_word(cells[i]);
    std::optional<LengthUnit> unit;
    for (const std::string_view suffix : {"mm", "mil", "inch", "um"})
      if (bare.size() > suffix.size() && bare.substr(bare.size() - suffix.size()) == suffix) {
        unit = parse_length_unit(suffix);
        bare.resize(bare.size() - suffix.size());
        break;
      }
    const auto column = column_named(bare);
    if (!column || header.index[*column]) continue;
    header.index[*column] = i;
    ++header.found;
    if ((*column == x || *column == y) && unit) header.unit = unit;
  }
  return header;
}

std::string plain_number(double number) {
  char buffer[40];
  const auto [end, error] = std::to_chars(buffer, buffer + sizeof buffer, number);
  return error == std::errc{} ? std::string(buffer, end) : std::string("0");
}

// A spreadsheet runs a cell that starts so as a formula.
bool is_formula_like(std::string_view text) {
  return !text.empty() && std::string_view("=+-@\t\r").find(text[0]) != std::string_view::npos;
}

std::string text_cell(std::string_view text) {
  std::string cell = is_formula_like(text) || (text.size() > 1 && text[0] == '\'' && is_formula_like(text.substr(1)))
                         ? "'" + std::string(text)
                         : std::string(text);
  if (cell.find_first_of(",\"\r\n") == std::string::npos && cell == trimmed(cell)) return cell;
  std::string quoted = "\"";
  for (const char c : cell) {
    if (c == '"') quoted += '"';
    quoted += c;
  }
  return quoted + "\"";
}

std::string without_guard(std::string cell) {
  if (cell.size() > 1 && cell[0] == '\'' && (is_formula_like(std::string_view(cell).substr(1)) || cell[1] == '\'')) cell.erase(0, 1);
  return cell;
}

}  // namespace

Result<PointTable> read_points(std::string_view bytes, std::string_view file, const PlacementOptions& options) {
  const auto refuse_file = [&](std::string expected, std::string found) {
    return Problem{std::string(file), "", std::move(expected), std::move(found), Outcome::bad_input};
  };
  Result<ImportText> decoded = decode_import_text(bytes, file);
  if (!decoded) return decoded.problem();
  const std::string_view all = decoded->text;
  PointTable table;
  table.remarks = decoded->remarks;
  PointHeader header;
  std::size_t rows_at = 0;
  for (const Delimiter delimiter : {Delimiter::comma, Delimiter::semicolon, Delimiter::tab, Delimiter::bar}) {
    std::size_t at = 0;
    const auto cells = cut_row(all, at, delimiter);
    if (!cells) continue;
    PointHeader candidate = match(*cells, delimiter);
    if (candidate.index[x] && candidate.index[y] && candidate.found > header.found) header = candidate, rows_at = at;
  }
  if (header.found == 0) return refuse_file("a first line that names an x and a y column", "\"" + shortened(all.substr(0, all.find('\n'))) + "\"");
  const auto refuse = [&](int line, std::string why) {
    ++table.refused_count;
    if (table.refused.size() < max_refused_rows_kept) table.refused.push_back({line, std::move(why)});
  };
  LengthUnit unit = options.unit.value_or(header.unit.value_or(LengthUnit::mm));
  if (!options.unit && !header.unit) table.remarks.emplace_back("no unit is said; taken as mm (override with --units)");
  // A comma that does not cut may be the decimal sign.
  const DecimalSign sign = options.decimal.value_or(header.delimiter == Delimiter::comma ? DecimalSign::point : DecimalSign::comma);
  int line = 1 + static_cast<int>(std::count(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(rows_at), '\n')) - 0;
  for (std::size_t at = rows_at; at < all.size();) {
    const std::size_t before = at;
    const int row_line = line;
    const auto cells = cut_row(all, at, header.delimiter);
    line += static_cast<int>(std::count(all.begin() + static_cast<std::ptrdiff_t>(before), all.begin() + static_cast<std::ptrdiff_t>(at), '\n'));
    if (!cells) {
      refuse(row_line, "a quote is opened and not closed");
      continue;
    }
    if (cells->size() == 1 && cells->front().empty()) continue;
    if (table.rows.size() + table.refused_count >= max_import_rows) return refuse_file("at most " + std::to_string(max_import_rows) + " rows", "more");
    const auto cell = [&](Column column) -> std::string {
      const auto index = header.index[column];
      return index && *index < cells->size() ? (*cells)[*index] : std::string{};
    };
    const auto number = [&](Column column) {
      auto parsed = parse_table_number(cell(column), sign, column == rotation);
      if (!parsed && !options.decimal && sign == DecimalSign::comma) parsed = parse_table_number(cell(column), DecimalSign::point, column == rotation);
      return parsed;
    };
    PointRow row;
    row.line = row_line;
    row.id = cell(id);
    if (!row.id.empty() && !parse_id(row.id)) {
      refuse(row_line, "id is \"" + shortened(row.id) + "\", not a UUID");
      continue;
    }
    if (const std::string word = cell(kind); !word.empty()) {
      const auto parsed = parse_mark_kind(bare_word(word));
      if (!parsed) {
        refuse(row_line, "kind is \"" + shortened(word) + "\", none of part, pin1, keepout, probe, note");
        continue;
      }
      row.kind = *parsed;
    }
    row.refdes = without_guard(cell(refdes));
    row.value = without_guard(cell(value)), row.reason = without_guard(cell(reason)), row.text = without_guard(cell(text));
    if (!row.refdes.empty() && !is_designator(row.refdes)) {
      // A point may have a name that is no designator: it is its caption then.
      row.text = row.text.empty() ? row.refdes : row.refdes + ": " + row.text;
      row.refdes.clear();
    }
    const auto at_x = number(x), at_y = number(y);
    if (!at_x || !at_y) {
      refuse(row_line, std::string(at_x ? "y" : "x") + " is \"" + shortened(cell(at_x ? y : x)) + "\", not a length");
      continue;
    }
    row.at = {at_x->value * mm_per(at_x->unit.value_or(unit)), at_y->value * mm_per(at_y->unit.value_or(unit))};
    if (std::fabs(row.at.x_mm) > max_coordinate_mm || std::fabs(row.at.y_mm) > max_coordinate_mm) {
      refuse(row_line, "lies more than 10 m from the origin");
      continue;
    }
    if (const std::string word = cell(side); !word.empty()) {
      const auto parsed = side_of(word, {}, false);
      if (!parsed) {
        refuse(row_line, "side is \"" + shortened(word) + "\", neither top nor bottom");
        continue;
      }
      row.side = *parsed;
    }
    if (const auto turned = number(rotation)) row.rotation_deg = std::fmod(turned->value, 360.0);
    if (const auto length = number(radius)) row.radius_mm = length->value * mm_per(length->unit.value_or(unit));
    table.rows.push_back(std::move(row));
  }
  if (table.rows.empty()) {
    std::string found = "none in " + std::to_string(table.refused_count) + " rows";
    if (!table.refused.empty()) found += "; the first, on line " + std::to_string(table.refused[0].line) + ": " + table.refused[0].reason;
    return refuse_file("rows with an x and a y", std::move(found));
  }
  return table;
}

std::string write_marks_csv(const Layer& layer) {
  std::string csv = "id,kind,refdes,side,x_mm,y_mm,rotation_deg,radius_mm,value,reason,text\r\n";
  layer.marks.each([&](const MarkPtr& mark) {
    csv += mark->id.text + "," + std::string(mark_kind_name(mark->kind)) + "," + text_cell(mark->refdes) + "," +
           std::string(side_name(mark->side)) + "," + plain_number(mark->at.x_mm) + "," + plain_number(mark->at.y_mm) + "," +
           plain_number(mark->rotation_deg) + "," + (mark->radius_mm ? plain_number(*mark->radius_mm) : "") + "," + text_cell(mark->value) +
           "," + text_cell(mark->reason) + "," + text_cell(mark->text) + "\r\n";
  });
  return csv;
}

}  // namespace boardlore
