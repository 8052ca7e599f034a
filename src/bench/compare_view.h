// Before and after in the window: the stage's list of what differs, both patches on a part's card, and the
// difference laid over the photo. An aid to the eye, and it says so wherever it speaks.
#pragma once

#include "bench/photo_comparer.h"
#include "bench/photo_view.h"

namespace boardlore {

// On the sheet of the stage "prove": which two photos, the button, what was found.
void draw_before_after(const Scene& scene, BenchState& state);
// On a part's card: what is said of it, and how it looked before and after, enlarged and the same way up.
void draw_patches(const Scene& scene, const Mark& mark);
// Over pane 0: the difference as it lies on that photo, the marks on it.
void draw_difference(const Scene& scene, const BenchState& state, const PaneLook& look);

}  // namespace boardlore
