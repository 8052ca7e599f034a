#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "overlay/colours.h"
#include "overlay/dashes.h"
#include "overlay/label_layout.h"
#include "overlay/xml_text.h"

using namespace boardlore;

namespace {

TextSize measure(const std::string& text) { return {8.0 * static_cast<double>(text.size()), 14}; }

std::vector<Label> crowd(std::size_t count) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> at(0, 1000);
  std::vector<Label> labels;
  for (std::size_t i = 0; i < count; ++i)
    labels.push_back({"C" + std::to_string(i), {at(random), at(random)}, 10, random(), Role::part, nullptr});
  return labels;
}

std::vector<std::size_t> names_of(const std::vector<PlacedLabel>& placed) {
  std::vector<std::size_t> names;
  for (const PlacedLabel& label : placed) names.push_back(label.label_index);
  std::sort(names.begin(), names.end());
  return names;
}

}  // namespace

TEST_CASE("no two labels that are drawn overlap, however dense the board and however it is turned") {
  const auto labels = crowd(1500);
  for (const double turn_rad : {0.0, 0.4, 1.5707963, 3.0}) {
    for (const double zoom : {0.5, 1.0, 3.0}) {
      const auto placed =
          place_labels(labels, screen_from_photo(zoom, turn_rad, turn_rad > 1, {500, 500}, {400, 300}), measure);
      CHECK(placed.size() > 50);
      for (std::size_t i = 0; i < placed.size(); ++i)
        for (std::size_t j = 0; j < i; ++j) {
          const PlacedLabel &a = placed[i], &b = placed[j];
          const bool apart = a.top_left.x + a.size.width <= b.top_left.x || b.top_left.x + b.size.width <= a.top_left.x ||
                             a.top_left.y + a.size.height <= b.top_left.y || b.top_left.y + b.size.height <= a.top_left.y;
          REQUIRE(apart);
        }
    }
  }
}

TEST_CASE("panning moves labels with the photo and neither adds nor drops one") {
  const auto labels = crowd(800);
  ScreenFromPhoto map = screen_from_photo(0.8, 0.3, false, {500, 500}, {400, 300});
  const auto before = place_labels(labels, map, measure);
  map.x0 += 137.25;
  map.y0 -= 61.5;
  const auto after = place_labels(labels, map, measure);
  REQUIRE(names_of(before) == names_of(after));
  for (std::size_t i = 0; i < before.size(); ++i) {
    CHECK(after[i].top_left.x - before[i].top_left.x == doctest::Approx(137.25));
    CHECK(after[i].top_left.y - before[i].top_left.y == doctest::Approx(-61.5));
  }
}

TEST_CASE("the label with the highest priority is always drawn") {
  auto labels = crowd(1500);
  labels[777].priority = ~0ULL;
  const auto names = names_of(place_labels(labels, screen_from_photo(0.2, 0, false, {0, 0}, {0, 0}), measure));
  CHECK(std::count(names.begin(), names.end(), 777) == 1);
}

TEST_CASE("labels at absurd places are left out and cost nothing") {
  std::vector<Label> labels{{"A", {1e300, 0}, 0, 1, Role::part, nullptr},
                            {"B", {std::nan(""), 5}, 0, 1, Role::part, nullptr},
                            {"C", {5, 5}, 0, 1, Role::part, nullptr}};
  CHECK(names_of(place_labels(labels, {}, measure)) == std::vector<std::size_t>{2});
}

TEST_CASE("contrast is WCAG's: black on white 21, and #777777 on white just below 4.5") {
  // Source: WCAG 2.1, definition of contrast ratio; the #777777 example (4.48) from memory of its techniques.
  CHECK(contrast_ratio({0, 0, 0}, {255, 255, 255}) == doctest::Approx(21));
  CHECK(contrast_ratio({0x77, 0x77, 0x77}, {255, 255, 255}) == doctest::Approx(4.48).epsilon(0.001));
}

TEST_CASE("every kind of line stands out at 3:1 on any solder mask, copper or paper") {
  // Source of the bound: WCAG 2.1 success criterion 1.4.11. Grounds: all greys, and common mask colours.
  std::vector<Colour> grounds{{0, 70, 35}, {20, 40, 110}, {130, 10, 20}, {15, 15, 15}, {235, 235, 230}, {200, 140, 60}};
  for (int grey = 0; grey < 256; ++grey) {
    const auto g = static_cast<std::uint8_t>(grey);
    grounds.push_back({g, g, g});
  }
  for (const Role role : all_roles) {
    const Style style = style_of(role);
    for (const Colour ground : grounds) {
      double best = std::max(contrast_ratio(style.halo, ground), contrast_ratio(style.core, ground));
      if (style.casing) best = std::max(best, contrast_ratio(*style.casing, ground));
      CAPTURE(static_cast<int>(role));
      CAPTURE(to_hex(ground).text);
      CHECK(best >= 3.0);
    }
  }
}

TEST_CASE("kinds are told apart without their colour") {
  // Areas and outlines by line, points by symbol (overlay_scene); part and keep-out must differ in line.
  CHECK(style_of(Role::part).line != style_of(Role::keepout).line);
  CHECK(style_of(Role::heated).line != style_of(Role::keepout).line);
  CHECK(style_of(Role::selected).width > style_of(Role::part).width);
}

TEST_CASE("dashes cover the line's share, are made only near the view, and do not crawl") {
  const std::vector<ScreenPoint> line{{0, 0}, {1400, 0}};
  const auto all = dashes(line, false, 9, 5, {-10, -10, 2000, 10});
  CHECK(all.size() == 100);
  CHECK(all[1].from.x == doctest::Approx(14));
  CHECK(all[1].to.x == doctest::Approx(23));
  const auto some = dashes(line, false, 9, 5, {700, -10, 840, 10});
  CHECK(some.size() <= 11);
  CHECK(some[0].from.x == doctest::Approx(700));  // 700 = 50 * 14: the pattern is where it was
  CHECK(dashes({{0, 0}, {1e9, 1e9}}, false, 9, 5, {0, 0, 100, 100}).size() < 20);
  CHECK(dashes({{5, 5}}, true, 9, 5, {0, 0, 100, 100}).empty());
}

TEST_CASE("text for a page: markup is escaped, what cannot be shown is replaced") {
  CHECK(escape_xml("<b a='1'>\"R&D\"</b>") == "&lt;b a=&#39;1&#39;&gt;&quot;R&amp;D&quot;&lt;/b&gt;");
  CHECK(clean_text("10 kΩ ±5 % 85 °C µ") == "10 kΩ ±5 % 85 °C µ");
  CHECK(clean_text(std::string("a\0b", 3)) == "a\xEF\xBF\xBD" "b");
  CHECK(clean_text("a\xC0\xAF" "b") == "a\xEF\xBF\xBD\xEF\xBF\xBD" "b");    // overlong "/": RFC 3629 section 10
  CHECK(clean_text("\xED\xA0\x80").find("\xED\xA0") == std::string::npos);  // a lone surrogate
  CHECK(clean_text("x\xE2\x80\xAEy") == "x\xEF\xBF\xBDy");                  // U+202E turns reading order around
  CHECK(clean_text("\xE2\x82") == "\xEF\xBF\xBD\xEF\xBF\xBD");              // cut off
}
