#include "judging/package_table.h"

#include <algorithm>
#include <cctype>

#include "geometry/pins.h"

namespace boardlore {
namespace {

std::string plain(std::string_view text) {
  std::string letters;
  for (const char c : text)
    if (std::isalnum(static_cast<unsigned char>(c))) letters += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return letters;
}

struct Chip {
  std::string_view inch, metric;
  double length_mm, width_mm;
  std::string_view source;
};
constexpr std::string_view chip_source = "EIA and metric size codes, as makers publish them";
constexpr Chip chips[] = {{"008004", "0201", 0.25, 0.125, chip_source}, {"01005", "0402", 0.4, 0.2, chip_source},
                          {"0201", "0603", 0.6, 0.3, chip_source},      {"0402", "1005", 1.0, 0.5, chip_source},
                          {"0603", "1608", 1.6, 0.8, chip_source},      {"0805", "2012", 2.0, 1.25, chip_source},
                          {"1008", "2520", 2.5, 2.0, chip_source},      {"1206", "3216", 3.2, 1.6, chip_source},
                          {"1210", "3225", 3.2, 2.5, chip_source},      {"1808", "4520", 4.5, 2.0, "size code published; mm from memory"},
                          {"1812", "4532", 4.5, 3.2, chip_source},      {"2010", "5025", 5.0, 2.5, chip_source},
                          {"2220", "5750", 5.7, 5.0, "size code published; mm from memory"},
                          {"2512", "6332", 6.3, 3.2, "makers say 6332 or 6432; mm as published"}};

Package package(PackageFamily family, std::string name, int pins, double pitch, double span, double length, double width, std::string source) {
  Package p;
  p.family = family;
  p.name = std::move(name);
  p.pins = pins;
  p.pitch_mm = pitch, p.span_mm = span;
  p.body_length_mm = length, p.body_width_mm = width;
  p.source = std::move(source);
  return p;
}

// Body length runs along x; a dual-row part stands upright at 0 degrees, so its long side is along y.
std::vector<Package> table() {
  std::vector<Package> rows;
  for (const Chip& chip : chips)
    for (const bool inch : {true, false})
      rows.push_back(package(PackageFamily::two_terminal, std::string(inch ? chip.inch : chip.metric) + (inch ? " (imperial)" : " (metric)"), 2, 0,
                             0.8 * chip.length_mm, chip.length_mm, chip.width_mm, std::string(chip.source)));
  const auto two = [&](const char* name, double span, double length, double width, const char* source) {
    rows.push_back(package(PackageFamily::two_terminal, name, 2, 0, span, length, width, source));
  };
  const char* memory = "makers' outline drawings (from memory)";
  two("SOD-123", 3.3, 2.7, 1.6, memory);
  two("SOD-323", 2.3, 1.7, 1.25, memory);
  two("SOD-523", 1.4, 1.2, 0.8, memory);
  two("SMA", 4.4, 4.3, 2.6, "JEDEC DO-214AC (from memory)");
  two("SMB", 4.4, 4.3, 3.6, "JEDEC DO-214AA (from memory)");
  two("SMC", 6.9, 6.9, 5.9, "JEDEC DO-214AB (from memory)");
  two("moulded A", 2.4, 3.2, 1.6, "EIA-535 case A (from memory)");
  two("moulded B", 2.7, 3.5, 2.8, "EIA-535 case B (from memory)");
  two("moulded C", 4.8, 6.0, 3.2, "EIA-535 case C (from memory)");
  two("moulded D", 6.1, 7.3, 4.3, "EIA-535 case D (from memory)");
  two("can 6.3", 5.0, 6.6, 6.6, "common practice, no source");
  two("can 8", 6.2, 8.3, 8.3, "common practice, no source");
  two("can 10", 7.8, 10.3, 10.3, "common practice, no source");

  rows.push_back(package(PackageFamily::sot, "SOT-23", 3, 0.95, 2.0, 1.3, 2.9, "JEDEC TO-236 (from memory)"));
  rows.push_back(package(PackageFamily::sot, "SOT-23-5", 5, 0.95, 2.6, 1.6, 2.9, "JEDEC MO-178 (from memory)"));
  rows.push_back(package(PackageFamily::sot, "SOT-23-6", 6, 0.95, 2.6, 1.6, 2.9, "JEDEC MO-178 (from memory)"));
  rows.push_back(package(PackageFamily::sot, "SOT-323", 3, 0.65, 1.9, 1.25, 2.0, "JEITA SC-70 (from memory)"));
  rows.push_back(package(PackageFamily::sot, "SOT-363", 6, 0.65, 1.9, 1.25, 2.0, "JEITA SC-88 (from memory)"));
  rows.push_back(package(PackageFamily::sot, "SOT-89", 4, 1.5, 3.4, 2.5, 4.5, memory));
  rows.push_back(package(PackageFamily::sot, "SOT-223", 4, 2.3, 6.3, 3.5, 6.5, "JEDEC TO-261 (from memory)"));

  const char* soic = "pitch published, row span 5.4 mm (9.3 mm wide body) common practice";
  for (const int pins : {8, 14, 16}) rows.push_back(package(PackageFamily::dual_row, "SOIC-" + std::to_string(pins), pins, 1.27, 5.4, 3.9, 1.25 * pins / 2 - 0.1, soic));
  for (const int pins : {16, 18, 20, 24, 28})
    rows.push_back(package(PackageFamily::dual_row, "SOIC-W-" + std::to_string(pins), pins, 1.27, 9.3, 7.5, 1.27 * pins / 2 + 0.1, soic));
  for (const int pins : {8, 14, 16, 20, 24, 28})
    rows.push_back(package(PackageFamily::dual_row, "TSSOP-" + std::to_string(pins), pins, 0.65, 5.8, 4.4, 0.65 * pins / 2 + 0.45, "JEDEC MO-153 (from memory)"));
  for (const int pins : {16, 20, 24, 28})
    rows.push_back(package(PackageFamily::dual_row, "SSOP-" + std::to_string(pins), pins, 0.65, 7.2, 5.3, 0.65 * pins / 2 + 0.9, "JEDEC MO-150 (from memory)"));
  for (const int pins : {8, 10})
    rows.push_back(package(PackageFamily::dual_row, "MSOP-" + std::to_string(pins), pins, pins == 8 ? 0.65 : 0.5, 4.4, 3.0, 3.0, "JEDEC MO-187 (from memory)"));
  for (const int pins : {8, 14, 16, 18, 20})
    rows.push_back(package(PackageFamily::dual_row, "DIP-" + std::to_string(pins), pins, 2.54, 7.62, 6.4, 2.54 * pins / 2 - 0.5, "pitch published; row span 7.62 mm JEDEC MS-001 (from memory)"));

  const struct { int pins; double pitch, body; } flats[] = {{32, 0.8, 7}, {44, 0.8, 10}, {48, 0.5, 7}, {64, 0.5, 10}, {80, 0.5, 12}, {100, 0.5, 14}, {128, 0.4, 14}, {144, 0.5, 20}, {176, 0.5, 24}};
  for (const auto& q : flats)
    rows.push_back(package(PackageFamily::quad, "QFP-" + std::to_string(q.pins), q.pins, q.pitch, q.body + 1.4, q.body, q.body, "JEDEC MS-026 bodies (from memory); span body + 1.4 mm"));
  const struct { int pins; double pitch, body; } leadless[] = {{16, 0.5, 3}, {20, 0.5, 4}, {24, 0.5, 4}, {28, 0.5, 5}, {32, 0.5, 5}, {40, 0.5, 6}, {48, 0.5, 7}, {56, 0.5, 8}, {64, 0.5, 9}};
  for (const auto& q : leadless)
    rows.push_back(package(PackageFamily::quad, "QFN-" + std::to_string(q.pins), q.pins, q.pitch, q.body - 0.1, q.body, q.body, "JEDEC MO-220 bodies (from memory); span body - 0.1 mm"));
  const struct { int pins; double body; } carriers[] = {{20, 9.0}, {28, 11.5}, {44, 16.6}, {52, 19.1}, {68, 24.2}, {84, 29.3}};
  for (const auto& q : carriers) {
    rows.push_back(package(PackageFamily::quad, "PLCC-" + std::to_string(q.pins), q.pins, 1.27, q.body, q.body, q.body, "JEDEC MO-047 (from memory)"));
    rows.back().pin1_mid_side = true;
  }
  return rows;
}

struct FamilyWord {
  std::string_view word;
  PackageFamily family;
  double span_beyond_body_mm;  // land centres over the body's edge, both sides together
};
// Longer words before the shorter ones they hold.
constexpr FamilyWord family_words[] = {
    {"LQFP", PackageFamily::quad, 1.4},      {"TQFP", PackageFamily::quad, 1.4},       {"PQFP", PackageFamily::quad, 1.4},
    {"QFP", PackageFamily::quad, 1.4},       {"VQFN", PackageFamily::quad, -0.1},      {"WQFN", PackageFamily::quad, -0.1},
    {"QFN", PackageFamily::quad, -0.1},      {"MLF", PackageFamily::quad, -0.1},       {"PLCC", PackageFamily::quad, 0},
    {"TSSOP", PackageFamily::dual_row, 1.4}, {"SSOP", PackageFamily::dual_row, 1.9},   {"MSOP", PackageFamily::dual_row, 1.4},
    {"SOIC", PackageFamily::dual_row, 1.5},  {"TSOP", PackageFamily::dual_row, 1.4},   {"SOP", PackageFamily::dual_row, 1.5},
    {"SOJ", PackageFamily::dual_row, 0},     {"DIP", PackageFamily::dual_row, 1.2},    {"DFN", PackageFamily::dual_row, -0.1},
    {"SON", PackageFamily::dual_row, -0.1},  {"BGA", PackageFamily::grid_array, 0},    {"LGA", PackageFamily::grid_array, 0},
    {"CSP", PackageFamily::grid_array, 0},   {"SOT", PackageFamily::sot, 1.0},         {"TO", PackageFamily::sot, 1.0},
    {"HEADER", PackageFamily::connector, 0}, {"CONNECTOR", PackageFamily::connector, 0}, {"FFC", PackageFamily::connector, 0},
    {"MODULE", PackageFamily::module, 0},    {"CHIP", PackageFamily::two_terminal, 0}, {"DIODE", PackageFamily::two_terminal, 0},
    {"CAN", PackageFamily::two_terminal, 0}, {"MOULDED", PackageFamily::two_terminal, 0}, {"SOD", PackageFamily::two_terminal, 0},
    {"TWOTERMINAL", PackageFamily::two_terminal, 0}, {"DUALROW", PackageFamily::dual_row, 1.4}, {"QUAD", PackageFamily::quad, 1.4},
    {"GRIDARRAY", PackageFamily::grid_array, 0}, {"OWNOUTLINE", PackageFamily::own_outline, 0}, {"OWN", PackageFamily::own_outline, 0}};

const FamilyWord* family_of(std::string_view name) {
  const std::string wanted = plain(name);
  for (const FamilyWord& word : family_words)
    if (wanted.starts_with(word.word)) return &word;
  for (const FamilyWord& word : family_words)  // "TFBGA", "HTSSOP"; "TO" is too short to look for inside
    if (word.word.size() >= 3 && wanted.find(word.word) != std::string::npos) return &word;
  return nullptr;
}

}  // namespace

const std::vector<Package>& common_packages() {
  static const std::vector<Package> rows = table();
  return rows;
}

const Package* find_package(std::string_view name) {
  std::string wanted = plain(name);
  if (wanted.empty()) return nullptr;
  const bool digits = std::all_of(wanted.begin(), wanted.end(), [](char c) { return c >= '0' && c <= '9'; });
  const bool chip_metric = wanted.back() == 'M' && wanted.size() == 5;
  if (chip_metric) wanted = wanted.substr(0, 4) + "METRIC";
  for (const std::string_view suffix : digits ? std::vector<std::string_view>{"IMPERIAL", "METRIC"} : std::vector<std::string_view>{""})
    for (const Package& row : common_packages())
      if (plain(row.name) == wanted + std::string(suffix)) return &row;
  return nullptr;
}

const Package* find_own_package(const Shop& shop, std::string_view name) {
  const std::string wanted = plain(name);
  for (const Package& own : shop.packages)
    if (!wanted.empty() && plain(own.name) == wanted) return &own;
  return nullptr;
}

std::optional<Problem> fault_of_own(const Package& package) {
  if (plain(package.name).empty() || package.name.size() > 100) return Problem{"", "name", "a name with a letter or digit, at most 100 bytes", "\"" + package.name.substr(0, 60) + "\""};
  if (const auto pattern = pin_pattern(package); !pattern) return pattern.problem();
  return std::nullopt;
}

Result<Package> package_from_words(const PackageWords& words, const Shop& shop) {
  std::string with_pins = words.name;
  if (words.pins && !find_package(with_pins)) with_pins += "-" + std::to_string(*words.pins);
  const Package* own = find_own_package(shop, words.name);
  const Package* row = own ? own : find_package(with_pins);
  const FamilyWord* word = family_of(words.name);
  if (!row && !word)
    return Problem{"", "package", "a package of the table or of a known family (SOIC, QFP, QFN, PLCC, BGA, SOT-23, 0603, header, module, own ...)",
                   "\"" + words.name + "\"", Outcome::bad_input};
  Package p = row ? *row : Package{};
  if (!row) {
    p.family = word->family;
    p.name = words.pins && plain(words.name) == word->word ? words.name + "-" + std::to_string(*words.pins) : words.name;
    p.source = "as entered";
    p.pin1_mid_side = plain(words.name).find("PLCC") != std::string::npos;
    if (p.family == PackageFamily::two_terminal) p.pins = 2;
  }
  const Package before = p;
  if (words.pins) p.pins = *words.pins;
  if (words.rows) p.rows = *words.rows;
  if (words.columns) p.columns = *words.columns;
  if (words.pitch_mm) p.pitch_mm = *words.pitch_mm;
  if (words.body_length_mm) p.body_length_mm = *words.body_length_mm;
  if (words.body_width_mm) p.body_width_mm = *words.body_width_mm;
  if (words.row_count) p.row_count = *words.row_count;
  if (!words.missing.empty()) p.missing = words.missing;
  if (words.span_mm) {
    p.span_mm = *words.span_mm;
    p.span_y_mm = 0;
  } else if (word && p.body_length_mm > 0 && (!row || p.body_length_mm != before.body_length_mm || p.body_width_mm != before.body_width_mm)) {
    const bool two = p.family == PackageFamily::two_terminal;
    p.span_mm = two ? 0.8 * p.body_length_mm : std::max(0.1, p.body_length_mm + word->span_beyond_body_mm);
    if (p.family == PackageFamily::quad && p.body_width_mm > 0 && p.body_width_mm != p.body_length_mm)
      p.span_y_mm = std::max(0.1, p.body_width_mm + word->span_beyond_body_mm);
  }
  if (words.span_y_mm) p.span_y_mm = *words.span_y_mm;
  if (p.family == PackageFamily::grid_array && p.rows > 0 && p.columns > 0 && p.pins == 0 && p.rows < 10000 && p.columns < 10000)
    p.pins = p.rows * p.columns;
  if (row && !(p == before)) p.source = "as entered, from " + row->name + ": " + row->source;
  if (p.span_mm > 0 && !words.span_mm && !row) p.source = "as entered; row span worked out from the body";
  if (const auto pattern = pin_pattern(p); !pattern) return pattern.problem();
  return p;
}

}  // namespace boardlore
