// Where a test finds the checkout, the program it drives and the material beside the checkout. The paths are
// compiled into places.cpp alone, so that every other test's object file is the same in any checkout.
#pragma once

#include <filesystem>

namespace boardlore::places {

std::filesystem::path source_dir();       // the checkout
std::filesystem::path program();          // the built boardlore
std::filesystem::path shared_dir();       // real photos and tables, where a checkout has them beside it
std::filesystem::path window_pictures();  // screenshots of the window tests, to be looked at

}  // namespace boardlore::places
