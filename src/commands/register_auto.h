// `register --auto`: the photo finds its own place.
#pragma once

#include "commands/command_support.h"

namespace boardlore {

// Registers, saves and prints, or says why not (outcome: finding).
void run_register_auto(CommandLine& line, Folder& folder, const std::string& photo_name, std::optional<Side> wanted_side);

}  // namespace boardlore
