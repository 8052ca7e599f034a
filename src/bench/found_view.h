// A place that was found: how good it is said to be, the overlay to look at, and what to do with it.
//
// The figures alone prove nothing to a person; the marks on the photo and the blink against the reference do. So
// both are in view before "use" is pressed, and correcting starts from the points that were found.
#pragma once

#include "bench/photo_view.h"
#include "bench/place_finder.h"

namespace boardlore {

// Before the panes are drawn: the overlay of the shown photo is laid by the found place.
void preview_found(const Scene& scene, const BenchState& state, const PlaceFinder& finder);
// The panel that takes the card's place while the shown photo has a place that waits for a word.
void draw_found(const Scene& scene, BenchState& state, PlaceFinder& finder);
// Over the photo: which one is being looked for, how far that is, and a stop.
void draw_finding(const Scene& scene, PlaceFinder& finder, ImVec2 middle_top);

}  // namespace boardlore
