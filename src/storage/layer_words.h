// What changed between two layers, in the words of the bench: "C14 moved 0.8 mm", "U3: pin 1 set".
#pragma once

#include "domain/layer.h"

namespace boardlore {

// A line a change; marks by designator, then by id. Empty: the same to a reader.
std::vector<std::string> spoken_differences(const Layer& before, const Layer& after);

// The layer itself as lines of words, each thing on its own line, for a text diff.
std::vector<std::string> spoken_layer(const Layer& layer);

}  // namespace boardlore
