// Registering a photo by hand: fiducial after fiducial, each shown where it lies on the reference photo.
//
// The first photo of a board takes its corners (the board's size is known) or one known distance; every
// later one takes the fiducials of a photo that is registered already, shown in an inset, so that the
// technician clicks the same place. The fit is made anew with every click and the overlay follows.
#pragma once

#include "bench/photo_view.h"
#include "geometry/registration_fit.h"

namespace boardlore {

struct WantedFiducial {
  std::string name;
  BoardPoint board;
  Id reference;            // photo that shows it; empty: a corner of the board
  PhotoPoint on_reference;
};

// The fiducials to look for on `photo`: of the registered photo of the same side that has most; else, where
// the board has a size, its corners in the order in which they are seen on that side; else none.
std::vector<WantedFiducial> wanted_fiducials(const DeskView& desk, const Photo& photo);

void start_registering(const Scene& scene, BenchState& state, const DeskPhoto& photo);
// Before the pane is drawn: lets the overlay show the fit as it stands.
void preview_fit(const Scene& scene, const BenchState& state);
// Clicks in the pane, and the picked points on it.
void pick_fiducials(const Scene& scene, BenchState& state, const PaneLook& look);
// The panel that takes the card's place meanwhile.
void draw_registering(const Scene& scene, BenchState& state);
std::string registering_hint(const DeskView& desk, const BenchState& state);

}  // namespace boardlore
