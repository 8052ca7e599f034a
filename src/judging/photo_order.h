// The order in which a job's photos were taken.
#pragma once

#include <vector>

#include "domain/photo.h"

namespace boardlore {

// Whether `a` comes before `b`: by capture time (an instant, whatever the camera's time zone), a photo without one by
// when it came in. Neither: after the others. For a stable sort.
bool taken_before(const Photo& a, const Photo& b);

}  // namespace boardlore
