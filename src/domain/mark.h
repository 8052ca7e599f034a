// Something placed on the board.
//
// Everything is in board millimetres. Shapes are kept relative to the mark's place and before its
// rotation, so that moving or turning a mark changes one member and two people's edits merge.
#pragma once

#include <memory>

#include "domain/frames.h"
#include "domain/package.h"
#include "domain/reading.h"

namespace boardlore {

// Written to files by name (mark_kind_name).
enum class MarkKind { part, pin1, keepout, probe, note };

// A displacement on the board, before the mark's rotation.
struct Offset {
  double x_mm = 0, y_mm = 0;
  bool operator==(const Offset&) const = default;
};

// The view a note was written in: "with the board this way round".
struct View {
  Side side = Side::top;
  double turn_deg = 0;  // clockwise on the screen
  double zoom = 1;      // screen pixels a photo pixel
  BoardPoint centre;
  bool operator==(const View&) const = default;
};

struct Note {
  Id id;
  std::string text;
  std::string pin;
  std::optional<View> view;
  std::string by;
  Timestamp at;
  bool internal = false;  // not for the owner's record
  Unknown unknown;
  bool operator==(const Note&) const = default;
};

// What tells which way round the part sits; free words from the trade's list or the technician's own.
struct Orientation {
  std::string on_part;   // "dot", "notch", "bevel", "bar", "cathode band", "minus stripe"
  std::string on_board;  // "triangle", "numeral", "square pad"
  bool operator==(const Orientation&) const = default;
};

// A reading that must be there before the part is lifted.
struct WantedReading {
  std::string pin;
  Quantity quantity = Quantity::resistance;
  bool operator==(const WantedReading&) const = default;
};

struct Mark {
  Id id;
  MarkKind kind = MarkKind::note;
  Side side = Side::top;
  BoardPoint at;
  double rotation_deg = 0;        // counter-clockwise seen from the top, whatever the side
  std::string refdes;             // parts and probe points; may be empty
  std::string text;               // what a note says; a caption elsewhere
  std::vector<Offset> outline;    // polygon; empty: from the package, or a circle, or a point
  std::optional<double> radius_mm;
  std::optional<Offset> pin1;     // part: where pin 1 is, when no package says so or the package was not turned to it
  std::optional<Package> package;
  Orientation orientation;
  std::string polarity;           // "", "cathode", "positive", "negative": what the pin-1 end is
  double place_error_mm = 0;      // how exactly it was placed; 0: not said

  // keepout
  std::string reason;             // "heat", "knock", "height", "solvent", "static"
  std::optional<double> max_temperature_c;
  std::optional<double> height_mm;
  std::string advice;             // "shield", "remove first", "lower temperature"

  // part
  std::string value;              // "10k", "TX-4410"
  std::vector<std::string> accept;  // markings of spares that fit
  std::vector<std::string> refuse;  // look-alikes that do not
  std::string moisture_level;       // "3", "5a"
  std::optional<double> package_class_c;  // highest body temperature (J-STD-020)
  std::vector<WantedReading> wanted;
  std::map<std::string, std::string> nets;  // pin -> net

  std::vector<Limit> limits;
  std::vector<Sample> samples;
  std::vector<Note> notes;

  Timestamp changed_at;
  Unknown unknown;
  bool operator==(const Mark&) const = default;
};

using MarkPtr = std::shared_ptr<const Mark>;

// Names as written to files.
std::string_view mark_kind_name(MarkKind kind);
std::optional<MarkKind> parse_mark_kind(std::string_view name);
std::string_view side_name(Side side);
std::optional<Side> parse_side(std::string_view name);
std::string_view package_family_name(PackageFamily family);
std::optional<PackageFamily> parse_package_family(std::string_view name);

}  // namespace boardlore
