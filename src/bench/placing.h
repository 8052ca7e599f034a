// The tools in the hand: select, box, move, nudge, turn, copy, and placing each kind of mark.
//
// A gesture is a ghost until it is let go, then one edit: one gesture is one undo step. Clicks are kept in
// board millimetres, so turning the view or the photo in mid-gesture changes nothing.
#pragma once

#include "bench/photo_view.h"

namespace boardlore {

// Mouse in the pane with the tool in hand; draws the ghost.
void use_tool(const Scene& scene, BenchState& state, const PaneLook& look);
// Keys that act on the chosen marks or on the tool; once a frame, with the pane the cursor is in.
void use_mark_keys(const Scene& scene, BenchState& state, const PaneLook& look);

void choose_tool(BenchState& state, Tool tool);
bool is_placing(const BenchState& state);
// "Part: click the third corner", for the line under the photo.
std::string tool_hint(const BenchState& state, bool registered);

void select_only(BenchState& state, const Id& mark);

}  // namespace boardlore
