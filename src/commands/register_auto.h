// `register --auto`: the photo finds its own place.
#pragma once

#include "alignment/auto_registration.h"
#include "commands/command_support.h"

namespace boardlore {

// Finds the photo's place on the board and commits it (the caller saves); an outcome that was refused commits nothing.
Result<AutoOutcome> find_own_place(Folder& folder, const Photo& photo, std::optional<Side> wanted_side);

// Registers, saves and prints, or says why not (outcome: finding).
void run_register_auto(CommandLine& line, Folder& folder, const std::string& photo_name, std::optional<Side> wanted_side);

}  // namespace boardlore
