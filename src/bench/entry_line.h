// The one line for readings and notes along the bottom: what is typed, and beside it how it is understood and
// judged (editing/entry_edits.h does both).
#pragma once

#include "bench/scene.h"

namespace boardlore {

// What the typed line means with the chosen mark: a line that starts with a value belongs to that mark.
std::string full_line(const Layer& layer, const std::string& typed, const Mark* chosen);
// What stands between lines that were pasted together: "C14 10k ¶ R5 4k7".
inline constexpr const char* line_break_sign = " ¶ ";
// The lines of what was typed or pasted, without empty ones.
std::vector<std::string> lines_of(const std::string& typed);
// Pasted text as one line of the field: line ends become signs, so that nothing of it is lost.
std::string with_signs(const std::string& pasted);
// The edits a finished line makes; empty where it is a fault or a question.
std::vector<Edit> entry_edits(const Scene& scene, const std::string& line);

void draw_entry_line(const Scene& scene, BenchState& state);

}  // namespace boardlore
