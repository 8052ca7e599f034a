// From a typed line to edits: what the entry line of the window and `boardlore log` both do.
#pragma once

#include <functional>

#include "editing/document.h"
#include "judging/entry_line.h"
#include "judging/judge.h"

namespace boardlore {

// What the caller brings, so that a run can be repeated.
struct EntryStamp {
  std::function<Id()> new_id;
  Timestamp now;
  std::string by;
};

EntryContext entry_context(const Snapshot& snapshot);

// The readings of the line; `every` counts back from now, so that the last value was taken now.
std::vector<Reading> readings_of(const EntryLine& line, const EntryStamp& stamp);
// One undo step. Readings and actions need a job (apply() says so).
std::vector<Edit> edits_of(const Snapshot& snapshot, const EntryLine& line, const EntryStamp& stamp);

// The verdict that each point of the line would get if it were entered; nullopt: not readings.
std::optional<Judgement> judge_entry(const Snapshot& snapshot, const EntryLine& line, Timestamp now);

// What the window shows while a line is typed.
struct EntryPreview {
  bool complete = false;             // Enter would take it
  std::string understood;            // empty while it is not
  std::optional<Verdict> verdict;
  std::string verdict_text;          // "low: 390 mV is below the low limit of 400 mV (service sheet)"
  std::size_t fault_column = 0;      // character from 1; 0: no fault
  std::string message, accepted;     // of the fault, or the question
  std::vector<EntryChoice> choices;  // of a question: lines that mean one thing
  std::vector<std::string> remarks, cautions;
};

EntryPreview preview_entry(const Snapshot& snapshot, std::string_view text, Timestamp now);

}  // namespace boardlore
