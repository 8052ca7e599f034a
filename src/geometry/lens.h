// One radial lens term: from the picture as seen to the straight picture and back (domain/registration.h).
//
// Straight to seen is a formula; the way back is not. It is solved to convergence: a handful of fixed-point
// steps, as is common, leaves 1e-6 of the picture's width at strong barrel distortion.
#pragma once

#include <optional>

#include "domain/registration.h"

namespace boardlore {

// nullopt: farther out than the term can be turned back (a barrel term folds over at r = 1/sqrt(-3 k1)).
std::optional<PhotoPoint> seen_from_straight(const LensTerm& lens, PhotoPoint straight);
std::optional<PhotoPoint> straight_from_seen(const LensTerm& lens, PhotoPoint seen);

}  // namespace boardlore
