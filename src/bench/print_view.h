// Designators read from the print, one after the other: where each stands on the photo, and a key to take or reject it.
#pragma once

#include "bench/photo_view.h"
#include "bench/print_reader.h"

namespace boardlore {

// The panel that takes the card's place while proposals wait.
void draw_proposals(const Scene& scene, BenchState& state, PrintReader& reader);
// Over the photo: every proposal small, the one asked about in a frame.
void draw_proposals_on_photo(const Scene& scene, const PrintReader& reader, const PaneLook& look);
// Brings the one asked about into view.
void look_at_proposal(const Scene& scene, BenchState& state, const PrintReader& reader);

}  // namespace boardlore
