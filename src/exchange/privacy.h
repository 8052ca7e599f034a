// What a folder or file still holds that should not leave the shop.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "domain/layer.h"
#include "domain/problem.h"

namespace boardlore {

struct PrivateFinding {
  std::string file, where, what;  // what: named, never shown
};

// Names on notes, internal notes, capture times, links to a job's actions, paths of a machine, members this
// version does not know. `allow_names`: technicians may be named.
std::vector<PrivateFinding> private_in_layer(const Layer& layer, const std::string& file, bool allow_names = false);

// A layer, a photo, a bundle's folder or any folder with all below it; a job's document is private as a whole.
Result<std::vector<PrivateFinding>> private_in(const std::filesystem::path& path, bool allow_names = false);

}  // namespace boardlore
