// What each thing on the overlay looks like: a colour-blind-safe colour, a shape, a halo.
//
// Colours are the set of M. Okabe and K. Ito, "Color Universal Design (CUD): How to make figures and
// presentations that are friendly to colorblind people" (2002, revised 2008); values from memory. Colour
// alone says nothing: each role also has a line or a symbol of its own. Every line has a dark halo and a
// light core or casing, so that one of the two stands at 3:1 or better on any ground, dark or light
// solder mask, copper or paper (WCAG 2.1, 1.4.11).
#pragma once

#include <array>
#include <cstdint>
#include <optional>

namespace boardlore {

struct Colour {
  std::uint8_t r = 0, g = 0, b = 0;
  bool operator==(const Colour&) const = default;
};

namespace okabe_ito {
constexpr Colour black{0, 0, 0}, orange{230, 159, 0}, sky_blue{86, 180, 233}, bluish_green{0, 158, 115},
    yellow{240, 228, 66}, blue{0, 114, 178}, vermillion{213, 94, 0}, reddish_purple{204, 121, 167};
}
constexpr Colour white{255, 255, 255};

// What a stroke, dot or label stands for.
enum class Role { part, pin1, keepout, probe, note, selected, hovered, heated, fiducial, residual, board };
inline constexpr std::array all_roles{Role::part,     Role::pin1,    Role::keepout, Role::probe,
                               Role::note,     Role::selected, Role::hovered, Role::heated,
                               Role::fiducial, Role::residual, Role::board};

enum class Line { solid, dashed, dotted };

struct Style {
  Colour core;
  std::optional<Colour> casing;  // between core and halo, where the core is too dark to stand on its own
  Colour halo = okabe_ito::black;
  int width = 2;                 // of the core; screen pixels, whole numbers only (they cost half the vertices)
  Line line = Line::solid;
};

Style style_of(Role role);

// WCAG 2.1 relative luminance, 0 to 1.
double relative_luminance(Colour colour);
// WCAG 2.1 contrast ratio, 1 to 21, whichever is named first.
double contrast_ratio(Colour one, Colour other);
// "#56B4E9"
struct HexColour {
  char text[8];
};
HexColour to_hex(Colour colour);

}  // namespace boardlore
