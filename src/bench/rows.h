// Rows of the worklist and of the stage line: worked out of a snapshot, drawn many times (Derived keeps them).
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "bench/bench_state.h"
#include "judging/verdict.h"

namespace boardlore {

struct WorklistRow {
  Id mark;
  MarkKind kind = MarkKind::part;
  Side side = Side::top;
  std::string name;     // designator, or the mark's words
  std::string detail;   // what it read last, value, package or reason
  bool duplicate = false;
  bool finding = false; // turned, missing, moved or changed since before
  std::optional<Verdict> worst;  // of its readings in this job
};

struct StageRow {
  Stage stage = Stage::intake;
  std::string name;
  int open = 0;                     // points still open
  std::vector<std::string> points;  // what they are
};

using StageRows = std::array<StageRow, stage_count>;

}  // namespace boardlore
