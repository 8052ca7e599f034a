// File names from documents, bundles and people.
#pragma once

#include <string>
#include <string_view>

namespace boardlore {

// Relative, inside its folder: no "..", no drive, no leading slash, no control characters, no backslash,
// at most 240 bytes, valid for the file systems shops use.
bool is_safe_relative_path(std::string_view path);

// The same name made safe: what is not allowed becomes "_"; never empty.
std::string safe_file_name(std::string_view name);

}  // namespace boardlore
