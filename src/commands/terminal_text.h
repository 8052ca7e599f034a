// Text from files and people, made safe to print on a terminal.
#pragma once

#include <string>
#include <string_view>

namespace boardlore {

// Control characters (C0, DEL, C1) and bytes that are not UTF-8 become \xNN; a line break stays one.
std::string safe_for_terminal(std::string_view text);

}  // namespace boardlore
