// The faces of the window, compiled in: Inter for words, JetBrains Mono (slashed zero) for values, and the
// symbols of Font Awesome 4.7. All three are under the SIL Open Font License 1.1 and come from Debian
// packages at build time.
//
// Type scale (line heights, px at 1x): small 14, body 16, heading 19, title 30; values 16 and 23 mono.
#pragma once

#include <imgui.h>

namespace boardlore {

struct Fonts {
  ImFont* body = nullptr;
  ImFont* small = nullptr;
  ImFont* strong = nullptr;   // semibold at body size
  ImFont* heading = nullptr;
  ImFont* title = nullptr;
  ImFont* value = nullptr;    // mono
  ImFont* value_large = nullptr;
};

Fonts load_fonts(float scale);

// Symbols, by what they stand for here.
namespace symbol {
inline constexpr const char* search = "\xef\x80\x82";      // f002
inline constexpr const char* check = "\xef\x80\x8c";       // f00c
inline constexpr const char* cross = "\xef\x80\x8d";       // f00d
inline constexpr const char* warning = "\xef\x81\xb1";     // f071
inline constexpr const char* folder = "\xef\x81\xbc";      // f07c
inline constexpr const char* photo = "\xef\x80\xbe";       // f03e
inline constexpr const char* camera = "\xef\x80\xb0";      // f030
inline constexpr const char* plus = "\xef\x81\xa7";        // f067
inline constexpr const char* undo = "\xef\x83\xa2";        // f0e2
inline constexpr const char* redo = "\xef\x80\x9e";        // f01e
inline constexpr const char* turn = "\xef\x80\x9e";        // f01e
inline constexpr const char* flip = "\xef\x81\xb9";        // f079 two arrows
inline constexpr const char* crosshair = "\xef\x81\x9b";   // f05b
inline constexpr const char* fit = "\xef\x82\xb2";         // f0b2
inline constexpr const char* save = "\xef\x83\x87";        // f0c7
inline constexpr const char* out = "\xef\x82\x8e";         // f08e
inline constexpr const char* columns = "\xef\x83\x9b";     // f0db
inline constexpr const char* sun = "\xef\x86\x85";         // f185
inline constexpr const char* help = "\xef\x81\x99";        // f059
inline constexpr const char* home = "\xef\x80\x95";        // f015
inline constexpr const char* map_pin = "\xef\x81\x81";     // f041
inline constexpr const char* wipe = "\xef\x81\x82";        // f042 half disc
inline constexpr const char* blink = "\xef\x81\xae";       // f06e eye
inline constexpr const char* difference = "\xef\x89\x8d";  // f24d two sheets
inline constexpr const char* layers = "\xef\x80\x8a";      // f00a
inline constexpr const char* pencil = "\xef\x81\x80";      // f040
inline constexpr const char* trash = "\xef\x87\xb8";       // f1f8
}  // namespace symbol

}  // namespace boardlore
