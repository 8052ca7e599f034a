// The strip above the photo: the tools, and how the photo is looked at. Under the photo: where the cursor
// is, how sure that is, and what the tool in hand wants next.
#pragma once

#include "bench/photo_view.h"

namespace boardlore {

// In two rows where the window is narrow.
float tool_strip_height(const Theme& theme, float width);
void draw_tool_strip(const Scene& scene, BenchState& state);
void draw_status(const Scene& scene, const BenchState& state, const PaneLook& look, const std::string& hint);
// "U3.37": the pin under the cursor, where one is nearer than a pitch; else the mark's name.
std::string pin_words(const Scene& scene, const BenchState& state, const PaneLook& look);
// "x 12.34  y 5.67 mm  ± 0.12": of the cursor; pixels where the photo is not registered.
std::string place_words(const PaneLook& look);

}  // namespace boardlore
