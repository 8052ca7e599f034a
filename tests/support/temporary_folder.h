// A folder of the test's own, gone with it.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <string>

struct TemporaryFolder {
  std::filesystem::path path;
  TemporaryFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "boardlore-test-XXXXXX").string();
    path = mkdtemp(name.data());
  }
  ~TemporaryFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path, ignored);
  }
  TemporaryFolder(const TemporaryFolder&) = delete;
  TemporaryFolder& operator=(const TemporaryFolder&) = delete;
};
