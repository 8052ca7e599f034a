// How slow work on pictures says how far it is, and how it is stopped.
#pragma once

#include <functional>
#include <stop_token>

namespace boardlore {

// Called on the working thread with 0 to 1, never falling. May be empty.
using ProgressFn = std::function<void(double fraction)>;

// What a Problem's `found` reads when work was stopped on request: not a fault of the file.
inline constexpr const char* kStopped = "stopped on request";

}  // namespace boardlore
