// The look: neutral greys, so that colours on the board are judged right, and no colour in the window
// itself except what stands for a kind of mark or a verdict.
//
// Kinds and verdicts are from the colour-blind-safe set of M. Okabe and K. Ito, "Color Universal Design"
// (2002, revised 2008), as overlay/colours.h has them; each comes with a shape of its own. Text stands at
// 4.5:1 or better against its ground in all themes (tests/unit/theme_test.cpp computes it, WCAG 2.1).
// Spacing is a grid of 4 px times the scale.
#pragma once

#include <imgui.h>

#include <algorithm>
#include <cmath>

#include <string>

#include "domain/mark.h"

namespace boardlore {

enum class ThemeName { dark, light, high_contrast };

struct Theme {
  ThemeName name = ThemeName::dark;
  float scale = 1;
  ImU32 bench = 0;     // behind the photo
  ImU32 panel = 0;     // panels
  ImU32 raised = 0;    // fields, cards in a list
  ImU32 hover = 0;
  ImU32 line = 0;      // separators
  ImU32 text = 0;
  ImU32 quiet = 0;     // secondary text
  ImU32 strong = 0;    // selected things: the inverse of the ground
  ImU32 on_strong = 0; // text on them
  ImU32 good = 0, bad = 0, doubtful = 0;  // verdicts, as text

  // A line that is `px` wide at scale 1, in whole pixels.
  float line_px(float px) const { return std::max(1.F, std::round(px * scale)); }
  float grid(float steps) const { return static_cast<float>(static_cast<int>(4 * steps * scale + 0.5F)); }
  ImU32 kind(MarkKind kind) const;
};

Theme make_theme(ThemeName name, float scale);
void apply_theme(const Theme& theme);

// The shape that stands for a kind, in lists and on tools: square, wedge, hatched diamond, ring, flag.
void draw_kind_shape(ImDrawList& list, const Theme& theme, MarkKind kind, ImVec2 middle, float size);

// "part", "keep-out", ...: as people say it.
std::string kind_words(MarkKind kind);

}  // namespace boardlore
