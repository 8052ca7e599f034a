#include "support/places.h"

namespace boardlore::places {

std::filesystem::path source_dir() { return BOARDLORE_SOURCE_DIR; }
std::filesystem::path program() { return BOARDLORE_PROGRAM; }
std::filesystem::path shared_dir() { return BOARDLORE_SHARED_DIR; }
std::filesystem::path window_pictures() { return BOARDLORE_WINDOW_OUTPUT; }

}  // namespace boardlore::places
