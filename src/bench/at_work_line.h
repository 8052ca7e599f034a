// Under the tools, over the photo: what is being worked out beside the frame, how far it is, and a stop.
#pragma once

#include "bench/scene.h"

namespace boardlore {

// `name` tells lines apart and names the stop: "stop-<name>". True: stop was asked for.
bool draw_at_work(const Scene& scene, const char* name, const std::string& words, double progress, ImVec2 middle_top);

}  // namespace boardlore
