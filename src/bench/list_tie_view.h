// Tying a list to the board by hand: two or three of its parts are clicked on the photo, and every other part is
// drawn where the tie puts it, so that the eye sees at once whether it fits.
#pragma once

#include "bench/list_preview.h"
#include "bench/photo_view.h"

namespace boardlore {

// Parts to click next, at most `count`: those that begin with what was typed, in the list's order; without any typing
// those farthest from each other and from those clicked already, as a long base ties best. Only what can be seen on
// `shown`, the side of the photo in view (nullopt: any).
std::vector<std::string> parts_to_click(const ListPreview& preview, std::optional<Side> shown, const std::string& typed, std::size_t count);

// The mouse in a pane while tying: a click says where the part called for lies.
void pick_tie(const Scene& scene, BenchState& state, const PaneLook& look);
std::string tie_hint(const BenchState& state);
// Over the photo: the clicked parts, and where the tie puts all others.
void draw_list_on_photo(const Scene& scene, const ListPreview& preview, const PaneLook& look);
// In the preview: which part is to be clicked, which were. True: the ties changed, read the list again.
bool draw_tying(const Scene& scene, BenchState& state, ListPreview& preview);

}  // namespace boardlore
