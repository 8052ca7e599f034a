// Reference designators: class letters and a number, "C14", "RT2", "R17A".
//
// The class letters say what sort of part it is, and so what an ohmmeter is expected to show on it.
// Letters: IEEE 315-1975 clause 22.4 (from published comparisons, some from memory); everyday letters that
// are not in it (FB, JP, LED, SW ...) are read too. VR, CN, X, P and their like mean different parts in
// different shops: they are left open, never decided.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace boardlore {

struct Layer;

// What sort of part, as far as readings go.
enum class PartClass {
  resistor, capacitor, inductor, ferrite, fuse, link, diode, transistor, circuit, battery, crystal,
  connector, switching, transformer, loudspeaker, thermistor, test_point, unsettled
};

struct Designator {
  std::string letters;     // upper case
  int number = 0;
  std::string suffix;      // "A" of R17A, "_2" of a panel
};

// Letters, number, optional suffix letter, optional panel number (R17_2); letters open, as boards differ.
// Upper and lower case; at most 16 characters. Empty is not a designator.
bool is_designator(std::string_view text);
std::optional<Designator> split_designator(std::string_view text);
PartClass part_class(std::string_view refdes);
std::string_view class_name(PartClass part);  // "capacitor", "inductor", ...; "part" where unsettled

// "C3" -> "C4", keeping leading zeros; a suffix letter is dropped. Empty where `refdes` is none.
std::string next_designator(std::string_view refdes);

// The designators of the board most like a mistyped one, best first, at most `count`.
std::vector<std::string> nearest_designators(const Layer& layer, std::string_view refdes, std::size_t count = 3);

}  // namespace boardlore
