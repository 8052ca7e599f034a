// The marks of the board as a list, narrowed by typing. Rows are pure.
#pragma once

#include "bench/rows.h"
#include "bench/scene.h"

namespace boardlore {

// Words typed narrow the list: each must occur in the name, the detail or the kind; case does not matter.
// Designators are in counting order (C2 before C10). The stage decides which kinds come first.
std::vector<WorklistRow> worklist_rows(const DeskView& desk, Stage stage, const std::string& filter);
// What before and after show of them; turned and missing parts first.
void bring_findings_forward(std::vector<WorklistRow>& rows, const Compared& compared);
// The mark meant by what was typed: an exact designator, else the first row; empty: none.
Id search_hit(const std::vector<WorklistRow>& rows, const std::string& filter);
// -1, 0, 1: letters first, then numbers by value.
int compare_designators(const std::string& a, const std::string& b);

void draw_worklist(const Scene& scene, BenchState& state);
const Id* neighbour_in_worklist(const std::vector<WorklistRow>& rows, const Id& current, int step);

}  // namespace boardlore
