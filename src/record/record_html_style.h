// The style sheet of the HTML record.
#pragma once

#include <string>
#include <vector>

#include "domain/id.h"

namespace boardlore {

// Positions of the before/after wipe.
inline constexpr int wipe_stops = 11;

// With one rule a mark, so that its rows and its drawings light each other up.
std::string record_html_style(const std::vector<Id>& marks);

}  // namespace boardlore
