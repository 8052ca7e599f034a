// One measured value on a mark, and what such a value should be.
#pragma once

#include <string>
#include <vector>

#include "domain/id.h"
#include "values/quantity.h"

namespace boardlore {

// Written to files as "exact", "at-least", "at-most", "overload".
enum class Qualifier { exact, at_least, at_most, overload };
// Written to files as "off", "on".
enum class Power { off, on };
// What the technician said of a series of looks. Written as "rising", "falling", "steady".
enum class SaidTrend { rising, falling, steady };

// Conditions that a reading was taken under; empty text: not said.
struct Conditions {
  Power power = Power::off;
  std::string red_lead;    // where the red lead was, when not on the point itself
  std::string black_lead;  // "GND" when empty
  std::string instrument;
  std::string ambient;     // free note: "cold", "22 °C"
  bool operator==(const Conditions&) const = default;
};

// Never edited: a second look is a second reading.
struct Reading {
  Id id;
  Id mark;
  std::string refdes;  // as it was then, so that the reading outlives its mark
  std::string pin;     // as printed: "7", "A12"; empty: the part as a whole
  Quantity quantity = Quantity::resistance;
  Qualifier qualifier = Qualifier::exact;
  double value = 0;    // base unit of `quantity`; finite; for overload the range if known, else 0
  std::string typed;   // as typed, with its significant digits
  std::optional<SaidTrend> said;
  Conditions conditions;
  Timestamp taken_at;
  std::string by;
  std::string words;   // free words typed behind the value
  Unknown unknown;
  bool operator==(const Reading&) const = default;
};

// What a reading should be, and where that comes from.
struct Limit {
  Id id;
  Quantity quantity = Quantity::resistance;
  std::string pin;
  std::optional<Power> power;   // nullopt: under either
  std::optional<double> low, high;
  std::string source;           // "service sheet", "common practice, no source"
  Unknown unknown;
  bool operator==(const Limit&) const = default;
};

// A reading from a unit known good, stripped of its owner.
struct Sample {
  Id id;
  Quantity quantity = Quantity::resistance;
  std::string pin;
  Qualifier qualifier = Qualifier::exact;
  double value = 0;
  Power power = Power::off;
  Timestamp taken_at;           // the day only, so that it names no job
  Unknown unknown;
  bool operator==(const Sample&) const = default;
};

}  // namespace boardlore
