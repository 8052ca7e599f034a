// Contrast of everything the window and the overlay draw with, computed as WCAG 2.1 defines it (relative luminance and
// contrast ratio; success criteria 1.4.3: text 4.5:1, 1.4.6: 7:1, 1.4.11: 3:1 for graphics).
#include <doctest/doctest.h>

#include "bench/theme.h"
#include "overlay/colours.h"

using namespace boardlore;

namespace {

Colour colour(ImU32 packed) {
  return {static_cast<std::uint8_t>(packed >> IM_COL32_R_SHIFT & 0xFF), static_cast<std::uint8_t>(packed >> IM_COL32_G_SHIFT & 0xFF),
          static_cast<std::uint8_t>(packed >> IM_COL32_B_SHIFT & 0xFF)};
}

double contrast(ImU32 a, ImU32 b) { return contrast_ratio(colour(a), colour(b)); }

}  // namespace

TEST_CASE("text stands at 4.5:1 or better in every theme, at 7:1 in high contrast") {
  // Black on white is 21:1 by definition; the grey 0x767676 on white is the usual example of 4.54:1.
  CHECK(contrast(IM_COL32_BLACK, IM_COL32_WHITE) == doctest::Approx(21));
  CHECK(contrast(IM_COL32(0x76, 0x76, 0x76, 255), IM_COL32_WHITE) == doctest::Approx(4.54).epsilon(0.002));
  double worst = 21;
  for (const ThemeName name : {ThemeName::dark, ThemeName::light, ThemeName::high_contrast}) {
    const Theme t = make_theme(name, 1);
    const double wanted = name == ThemeName::high_contrast ? 7 : 4.5;
    const int theme = static_cast<int>(name);
    CAPTURE(theme);
    for (const ImU32 ground : {t.panel, t.raised}) {
      for (const ImU32 ink : {t.text, t.quiet, t.good, t.bad, t.doubtful}) {
        CHECK(contrast(ink, ground) >= wanted);
        worst = std::min(worst, contrast(ink, ground));
      }
      for (const MarkKind kind : {MarkKind::part, MarkKind::pin1, MarkKind::keepout, MarkKind::probe, MarkKind::note}) CHECK(contrast(t.kind(kind), ground) >= 3);
    }
    CHECK(contrast(t.text, t.hover) >= wanted);
    CHECK(contrast(t.quiet, t.bench) >= 4.5);
    CHECK(contrast(t.on_strong, t.strong) >= wanted);
  }
  MESSAGE("least contrast of text: " << worst << ":1");
}

TEST_CASE("a line on the photo stands at 3:1 by itself or by its halo, on any solder mask") {
  // Green, blue, black and red masks, white mask, bare copper, paper: typical values, no source.
  for (const Colour ground : {Colour{0, 80, 40}, Colour{20, 110, 60}, Colour{10, 40, 110}, Colour{15, 15, 15}, Colour{130, 15, 20}, Colour{235, 235, 230}, Colour{200, 130, 70}, Colour{128, 128, 128}})
    for (const Role role : all_roles) {
      const Style style = style_of(role);
      double best = std::max(contrast_ratio(style.core, ground), contrast_ratio(style.halo, ground));
      if (style.casing) best = std::max(best, contrast_ratio(*style.casing, ground));
      CHECK(best >= 3);
    }
}
