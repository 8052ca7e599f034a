#include "storage/cache_folder.h"

#include <cstdlib>

namespace boardlore {

std::filesystem::path cache_folder(const std::string& name) {
  const auto value = [](const char* variable) -> std::string {
    const char* text = std::getenv(variable);
    return text == nullptr ? "" : text;
  };
  if (const std::filesystem::path cache = value("XDG_CACHE_HOME"); cache.is_absolute()) return cache / "boardlore" / name;
  if (const std::string home = value("HOME"); !home.empty()) return std::filesystem::path(home) / ".cache" / "boardlore" / name;
  return {};
}

}  // namespace boardlore
