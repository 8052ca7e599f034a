// Clearances as --json prints them.
#pragma once

#include "geometry/clearance.h"
#include "storage/json_out.h"

namespace boardlore {

JsonOut json_clearance(const Clearance& clearance);
JsonOut json_clearances(const ClearanceReport& report);

}  // namespace boardlore
