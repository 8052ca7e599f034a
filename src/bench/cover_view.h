// Covering a region of a board's reference photo: a drag over what must not be seen, or two corners by arrow keys and
// Enter. The pixels themselves go, in a new file (exchange/cover_photo.h); undo names the old one again.
#pragma once

#include "bench/photo_view.h"

namespace boardlore {

struct CoverState {
  Id photo;  // empty: not covering
  std::optional<PhotoPoint> from;
  std::optional<PhotoPoint> cross{};  // moved by the arrow keys; none while the mouse leads
};

// Over the pane while covering; takes the mouse, the arrow keys and Enter there. Call after the panes.
void draw_covering(const Scene& scene, CoverState& cover, const PaneLook& look);

}  // namespace boardlore
