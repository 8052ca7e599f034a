#include "geometry/pins.h"

#include <algorithm>

#include "geometry/outline.h"

namespace boardlore {
namespace {

// 20 letters: I O Q S X Z are left out (JEDEC JEP95; IPC-7351 14.2.5 as cited in a mailing list).
constexpr std::string_view row_alphabet = "ABCDEFGHJKLMNPRTUVWY";
constexpr int most_pins = 10000;

using Pattern = std::vector<PatternPin>;

Problem refused(const Package& package, std::string expected, std::string found) {
  return {"", "package " + (package.name.empty() ? std::string(package_family_name(package.family)) : package.name),
          std::move(expected), std::move(found), Outcome::bad_input};
}

// Place of lead i of n, counted from the first end, about 0.
double along(int i, int n, double pitch_mm) { return (i - 0.5 * (n - 1)) * pitch_mm; }

void add(Pattern& pattern, double x_mm, double y_mm) {
  pattern.push_back({std::to_string(pattern.size() + 1), {x_mm, y_mm}});
}

// Down the left, up the right. An odd count has one more on the left.
Pattern dual_row(int pins, double pitch_mm, double span_mm) {
  const int left = (pins + 1) / 2, right = pins - left;
  Pattern pattern;
  for (int i = 0; i < left; ++i) add(pattern, -span_mm / 2, -along(i, left, pitch_mm));
  for (int i = 0; i < right; ++i) add(pattern, span_mm / 2, along(i, right, pitch_mm));
  return pattern;
}

// SOT-223, SOT-89, TO-252 and TO-263: all leads on the left, the tab on the right as the last pin.
bool has_tab(const Package& package) {
  for (const std::string_view name : {"SOT-223", "SOT-89", "TO-252", "TO-263"})
    if (package.name.rfind(name, 0) == 0) return true;
  return false;
}

Pattern small_outline_transistor(const Package& package) {
  const double pitch = package.pitch_mm, span = package.span_mm;
  Pattern pattern;
  if (has_tab(package)) {
    const int leads = package.pins - 1;
    for (int i = 0; i < leads; ++i) add(pattern, -span / 2, -along(i, leads, pitch));
    add(pattern, span / 2, 0);
  } else if (package.pins == 3) {  // two places of three on the left, the middle one on the right
    add(pattern, -span / 2, pitch);
    add(pattern, -span / 2, -pitch);
    add(pattern, span / 2, 0);
  } else if (package.pins == 5) {  // three on the left, the outer two on the right
    for (int i = 0; i < 3; ++i) add(pattern, -span / 2, -along(i, 3, pitch));
    add(pattern, span / 2, -pitch);
    add(pattern, span / 2, pitch);
  } else {
    return dual_row(package.pins, pitch, span);
  }
  return pattern;
}

Result<Pattern> quad(const Package& package) {
  int upright = package.pins / 4, lying = package.pins / 4;
  if (package.rows > 0 && package.columns > 0) upright = package.rows, lying = package.columns;
  if (2 * (upright + lying) != package.pins)
    return refused(package, "a multiple of four pins, or 2 * (rows + columns)", std::to_string(package.pins) + " pins");
  const double half_x = package.span_mm / 2, half_y = (package.span_y_mm > 0 ? package.span_y_mm : package.span_mm) / 2;
  std::vector<Offset> places;  // counter-clockwise from the uppermost on the left
  for (int i = 0; i < upright; ++i) places.push_back({-half_x, -along(i, upright, package.pitch_mm)});
  for (int i = 0; i < lying; ++i) places.push_back({along(i, lying, package.pitch_mm), -half_y});
  for (int i = 0; i < upright; ++i) places.push_back({half_x, along(i, upright, package.pitch_mm)});
  for (int i = 0; i < lying; ++i) places.push_back({-along(i, lying, package.pitch_mm), half_y});
  // The top side holds the last `lying` places, right to left; its middle one is pin 1 of a PLCC.
  const std::size_t first = package.pin1_mid_side ? places.size() - 1 - static_cast<std::size_t>((lying - 1) / 2) : 0;
  Pattern pattern;
  for (std::size_t i = 0; i < places.size(); ++i) {
    const Offset& place = places[(first + i) % places.size()];
    add(pattern, place.x_mm, place.y_mm);
  }
  return pattern;
}

Result<Pattern> grid_array(const Package& package) {
  if (package.rows <= 0 || package.columns <= 0 || package.rows > most_pins || package.columns > most_pins ||
      package.rows * static_cast<long long>(package.columns) > most_pins)
    return refused(package, "rows and columns of a grid of 1 to 10,000",
                   std::to_string(package.rows) + " x " + std::to_string(package.columns));
  Pattern pattern;
  for (int row = 0; row < package.rows; ++row)
    for (int column = 0; column < package.columns; ++column)
      pattern.push_back({grid_row_letters(row + 1) + std::to_string(column + 1),
                         {along(column, package.columns, package.pitch_mm), -along(row, package.rows, package.pitch_mm)}});
  return pattern;
}

Pattern connector(const Package& package) {
  Pattern pattern;
  if (package.row_count == RowCount::around) return dual_row(package.pins, package.pitch_mm, package.span_mm);
  if (package.row_count == RowCount::one_row) {
    for (int i = 0; i < package.pins; ++i) add(pattern, 0, -along(i, package.pins, package.pitch_mm));
    return pattern;
  }
  const int pairs = (package.pins + 1) / 2;
  for (int i = 0; i < package.pins; ++i)
    add(pattern, (i % 2 == 0 ? -0.5 : 0.5) * package.span_mm, -along(i / 2, pairs, package.pitch_mm));
  return pattern;
}

Result<Pattern> full_pattern(const Package& package) {
  const bool needs_rows = package.family != PackageFamily::grid_array && package.family != PackageFamily::own_outline;
  if (package.family == PackageFamily::own_outline) return Pattern{};
  for (const double length : {package.pitch_mm, package.span_mm, package.span_y_mm, package.body_length_mm, package.body_width_mm})
    if (!std::isfinite(length) || length < 0 || length > 1000) return refused(package, "lengths from 0 to 1000 mm", std::to_string(length));
  if (package.family == PackageFamily::two_terminal) {
    // Where the centres of the terminals are not said: 0.8 of the body, as on chip parts (common practice).
    const double span = package.span_mm > 0 ? package.span_mm : 0.8 * package.body_length_mm;
    if (!(span > 0)) return refused(package, "a span or a body length", "neither");
    return Pattern{{"1", {-span / 2, 0}}, {"2", {span / 2, 0}}};
  }
  if (needs_rows && (package.pins <= 0 || package.pins > most_pins))
    return refused(package, "1 to 10,000 pins", std::to_string(package.pins) + " pins");
  const bool one_row = package.family == PackageFamily::connector && package.row_count == RowCount::one_row;
  if (!(package.pitch_mm > 0) && package.pins != 1) return refused(package, "a pitch in mm", "none");
  if (needs_rows && !one_row && !(package.span_mm > 0)) return refused(package, "a span between the rows in mm", "none");
  switch (package.family) {
    case PackageFamily::sot: return small_outline_transistor(package);
    case PackageFamily::quad: return quad(package);
    case PackageFamily::grid_array: return grid_array(package);
    case PackageFamily::connector: return connector(package);
    default: return dual_row(package.pins, package.pitch_mm, package.span_mm);
  }
}

}  // namespace

std::string grid_row_letters(int row) {
  // Bijective base 20: there is no zero, so Y (20) is followed by AA (21).
  std::string letters;
  for (int rest = row; rest > 0; rest = (rest - 1) / 20)
    letters.insert(letters.begin(), row_alphabet[static_cast<std::size_t>((rest - 1) % 20)]);
  return letters;
}

std::optional<int> grid_row_number(std::string_view letters) {
  if (letters.empty() || letters.size() > 4) return std::nullopt;
  int row = 0;
  for (const char letter : letters) {
    const auto at = row_alphabet.find(letter >= 'a' && letter <= 'z' ? static_cast<char>(letter - 'a' + 'A') : letter);
    if (at == std::string_view::npos) return std::nullopt;
    row = row * 20 + static_cast<int>(at) + 1;
  }
  return row;
}

Result<std::vector<PatternPin>> pin_pattern(const Package& package) {
  auto pattern = full_pattern(package);
  if (pattern && !package.missing.empty())
    std::erase_if(*pattern, [&](const PatternPin& pin) {
      return std::find(package.missing.begin(), package.missing.end(), pin.name) != package.missing.end();
    });
  return pattern;
}

Result<std::vector<Pin>> pins_of(const Mark& mark) {
  if (!mark.package) return std::vector<Pin>{};
  const auto pattern = pin_pattern(*mark.package);
  if (!pattern) return pattern.problem();
  const double mirror = mark.side == Side::bottom ? -1 : 1;
  std::vector<Pin> pins;
  pins.reserve(pattern->size());
  for (const PatternPin& pin : *pattern) pins.push_back({pin.name, placed(mark, {mirror * pin.at.x_mm, pin.at.y_mm})});
  return pins;
}

std::optional<BoardPoint> pin1_of(const Mark& mark) {
  if (mark.kind == MarkKind::pin1) return mark.at;
  if (mark.pin1) return placed(mark, *mark.pin1);
  const auto pins = pins_of(mark);
  if (!pins) return std::nullopt;
  for (const Pin& pin : *pins)
    if (pin.name == "1" || pin.name == "A1") return pin.at;
  return std::nullopt;
}

std::optional<std::size_t> nearest_pin(const std::vector<Pin>& pins, BoardPoint at) {
  if (pins.empty()) return std::nullopt;
  const auto nearest = std::min_element(pins.begin(), pins.end(), [&](const Pin& a, const Pin& b) {
    return distance_mm(a.at, at) < distance_mm(b.at, at);
  });
  return static_cast<std::size_t>(nearest - pins.begin());
}

}  // namespace boardlore
