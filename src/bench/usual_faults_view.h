// What cured this symptom on this board before, in the find stage: the place to look first, each row leading to its
// mark with its limits and notes.
#pragma once

#include "bench/scene.h"

namespace boardlore {

struct FaultRow {
  std::string name;      // "U3 replaced"
  std::string numbers;   // "9 of 10 jobs, 60 to 98 %"
  double low = 0, high = 1, share = 0;
  std::string last;      // "2026-03"; empty: not known
  Id mark;               // the part on this board; empty: not on the map
};
// Pure: ranked as given, at most `most`.
std::vector<FaultRow> fault_rows(const Layer& layer, const UsualFaults& faults, std::size_t most);

// The symptom that is asked for: the job's, else the one chosen on the board.
std::string symptom_asked(const Scene& scene, const BenchState& state);

// `typed` is what the symptom's field holds.
void draw_usual_faults(const Scene& scene, BenchState& state, std::string& typed);

}  // namespace boardlore
