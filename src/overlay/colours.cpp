#include "overlay/colours.h"

#include <cmath>
#include <cstdio>

namespace boardlore {

Style style_of(Role role) {
  using namespace okabe_ito;
  switch (role) {
    case Role::part: return {sky_blue, std::nullopt, black, 2, Line::solid};
    case Role::pin1: return {yellow, std::nullopt, black, 1, Line::solid};
    case Role::keepout: return {orange, std::nullopt, black, 2, Line::dashed};
    case Role::probe: return {bluish_green, white, black, 2, Line::solid};
    case Role::note: return {reddish_purple, white, black, 2, Line::solid};
    case Role::selected: return {white, std::nullopt, black, 3, Line::solid};
    case Role::hovered: return {white, std::nullopt, black, 2, Line::solid};
    case Role::heated: return {vermillion, white, black, 2, Line::dotted};
    case Role::fiducial: return {white, std::nullopt, black, 1, Line::solid};
    case Role::residual: return {vermillion, white, black, 2, Line::solid};
    case Role::board: return {white, std::nullopt, black, 1, Line::dashed};
  }
  return {};
}

double relative_luminance(Colour colour) {
  const auto linear = [](std::uint8_t channel) {
    const double c = channel / 255.0;
    return c <= 0.03928 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
  };
  return 0.2126 * linear(colour.r) + 0.7152 * linear(colour.g) + 0.0722 * linear(colour.b);
}

double contrast_ratio(Colour one, Colour other) {
  const double a = relative_luminance(one), b = relative_luminance(other);
  return (std::fmax(a, b) + 0.05) / (std::fmin(a, b) + 0.05);
}

HexColour to_hex(Colour colour) {
  HexColour hex{};
  std::snprintf(hex.text, sizeof hex.text, "#%02X%02X%02X", colour.r, colour.g, colour.b);
  return hex;
}

}  // namespace boardlore
