// A photo taken by the command a person set (a camera on a cable, a microscope): run beside the frame, into a file of its own.
#pragma once

#include <filesystem>
#include <stop_token>
#include <string>

#include "domain/problem.h"

namespace boardlore {

// %f in `command` becomes the file, quoted for the shell. Problem: it failed, or wrote nothing.
Result<std::filesystem::path> take_with_camera(const std::string& command, const std::filesystem::path& folder, std::stop_token stop);

}  // namespace boardlore
