// Where what can be worked out again is kept: under the user's cache folder (XDG Base Directory Specification),
// never beside the documents. Whoever empties it loses time and nothing else.
#pragma once

#include <filesystem>
#include <string>

namespace boardlore {

// $XDG_CACHE_HOME/boardlore/NAME, else ~/.cache/boardlore/NAME; empty where neither is known. Not yet made.
std::filesystem::path cache_folder(const std::string& name);

}  // namespace boardlore
