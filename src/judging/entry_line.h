// One typed line of the bench: "C14 10.5k rising", "U3.7 0.452 V diode", "U3 note lifted pad 7".
//
// A technician types with one hand while the other holds a probe, so the line is short and the order
// loose; but a value taken for the wrong quantity is worse than a question. Whatever has two meanings comes
// back as a question with lines that have one. A fault names the character and what would do there; the
// typed text is never changed or dropped. The grammar is our own:
//
//   POINT VALUE... [CONDITION...] [words]   C14 10.2k 10.9k every 5s   TP4 12.03V on   J2.1 > 20M   C14 OL
//   POINT note words                        POINT done-word [words]    (replaced, reflowed, cleaned ...)
//   note words                              a note on the job
//   POINT: designator, .PIN or "pin 7", and @top or @bottom where it is on both sides
//   VALUE: a number with prefix and unit, > or < before it, or OL; one quantity a line. A keypad has no letters:
//          * and ** behind the digits are k and M, / // /// //// are m, µ, n and p
//   CONDITION: on off rising falling steady cold warm hot, red X, black X, with METER, ambient X, every 5s, a quantity's name
#pragma once

#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "domain/job.h"
#include "values/si_number.h"

namespace boardlore {

struct EntryContext {
  const Layer* layer = nullptr;  // nullptr: any designator goes
  Conditions defaults;
};

struct EntryValue {
  SiNumber number;               // unused for overload
  Qualifier qualifier = Qualifier::exact;
  std::string typed;
  bool operator==(const EntryValue&) const = default;
};

struct EntryLine {
  enum class Kind { readings, note, action, job_note };
  Kind kind = Kind::readings;
  Id mark;                       // empty: no layer given, or a job note
  std::string refdes;            // as the mark spells it
  std::string pin;
  Quantity quantity = Quantity::resistance;
  std::vector<EntryValue> values;
  double every_s = 0;            // time between the values; 0: not said
  std::optional<SaidTrend> said;
  Conditions conditions;
  std::string what;              // action
  std::string words;
  std::vector<std::string> cautions;
};

struct EntryFault {
  std::size_t column = 1;        // character of the line, from 1; one past the end where something is missing
  std::string message;           // what is wrong
  std::string accepted;          // what would do there
  bool operator==(const EntryFault&) const = default;
};

struct EntryChoice {
  std::string meaning;           // "10 nF, capacitance"
  std::string line;              // the line that means only this
};

struct EntryQuestion {
  std::size_t column = 1;
  std::string question;
  std::vector<EntryChoice> choices;
};

using ParsedEntry = std::variant<EntryLine, EntryFault, EntryQuestion>;

// Of a line as typed; nobody types more.
inline constexpr std::size_t longest_entry_line = 4096;

ParsedEntry parse_entry_line(std::string_view text, const EntryContext& context);

// How the line was understood, for people: "C14: resistance 10.5 kΩ, power off, rising".
std::string understood(const EntryLine& line);
// The line written so that it parses to the same: units spelt out, conditions that differ from `defaults`. It is longer than what
// was typed, and of a line near `longest_entry_line` longer than that.
std::string canonical_line(const EntryLine& line, const Conditions& defaults);

// The verbs that make an action: "replaced", "reflowed", ...
const std::vector<std::string_view>& action_verbs();
std::string_view power_name(Power power);         // "off", "on"
std::string_view trend_name(SaidTrend trend);     // "rising", "falling", "steady"

// "R5 is on both sides": parts and probe points of the name; others only where there are none of those.
std::vector<MarkPtr> marks_called(const Layer& layer, std::string_view refdes);

}  // namespace boardlore
