// How high a body may stand over the board where nobody measured it: what its package's published outline allows at most.
//
// Two photos from different places show a body's top displaced against the board by its height; knowing that the height
// has an end tells such a lean from a part that moved.
#pragma once

#include <optional>

#include "domain/package.h"

namespace boardlore {

// Seated height, mm, of the largest version of its family at that pitch and size (JEDEC outlines MS-001, MS-012, MS-013,
// MS-018, MS-022, MS-034, MO-150, MO-178, TO-261 and EIA-535; from memory). nullopt: the family says nothing of it, as of
// chips, cans, connectors and modules.
std::optional<double> highest_body_mm(const Package& package);

}  // namespace boardlore
