// Which quantity a typed value is: from its unit, else from its prefix and the part's class, else open.
//
// An ohmmeter across a capacitor shows kilohms and a capacitance meter nanofarads, so the prefix tells; a
// bare "10" on a capacitor does not. Rules are common practice, no source; what they leave open is asked.
#pragma once

#include <vector>

#include "domain/reading.h"
#include "judging/designator.h"
#include "values/si_number.h"

namespace boardlore {

// Every quantity the value may be; one: settled. `value` is looked at where the unit is volts.
std::vector<Quantity> possible_quantities(const SiNumber& number, PartClass part, Power power);
// The same for an overload, which has neither unit nor prefix.
std::vector<Quantity> possible_quantities_of_overload(PartClass part);

}  // namespace boardlore
