#include "storage/user_folders.h"

#include <cstdlib>
#include <fstream>

namespace boardlore {
namespace {

namespace fs = std::filesystem;
constexpr std::uintmax_t most_bytes = 256 * 1024;

// A relative path in these variables is to be ignored, says the specification.
fs::path folder_of(const char* variable, const char* in_home) {
  if (const char* set = std::getenv(variable); set && fs::path(set).is_absolute()) return fs::path(set) / "boardlore";
  if (const char* home = std::getenv("HOME"); home && *home) return fs::path(home) / in_home / "boardlore";
  return {};
}

std::string trimmed(const std::string& words) {
  const std::size_t from = words.find_first_not_of(" \t\r"), to = words.find_last_not_of(" \t\r");
  return from == std::string::npos ? "" : words.substr(from, to - from + 1);
}

}  // namespace

fs::path config_file(const std::string& name) {
  const fs::path folder = folder_of("XDG_CONFIG_HOME", ".config");
  return folder.empty() ? folder : folder / name;
}

fs::path state_file(const std::string& name) {
  const fs::path folder = folder_of("XDG_STATE_HOME", ".local/state");
  return folder.empty() ? folder : folder / name;
}

NamedValues read_named_values(const fs::path& file) {
  NamedValues read;
  std::error_code error;
  if (file.empty() || !fs::is_regular_file(file, error)) return read;
  if (fs::file_size(file, error) > most_bytes) {
    read.problems.push_back({file.string(), "", "at most 256 kB of settings", "a larger file"});
    return read;
  }
  std::ifstream in(file, std::ios::binary);
  int number = 0;
  for (std::string line; std::getline(in, line);) {
    ++number;
    const std::string words = trimmed(line);
    if (words.empty() || words[0] == '#') continue;
    const std::size_t sign = words.find('=');
    const std::string name = trimmed(words.substr(0, sign));
    if (sign == std::string::npos || name.empty()) {
      read.problems.push_back({file.string(), "line " + std::to_string(number), "name = value", words.substr(0, 60)});
      continue;
    }
    read.values.push_back({name, trimmed(words.substr(sign + 1)), number});
  }
  return read;
}

Result<Done> write_named_values(const fs::path& file, const std::string& remark, const std::vector<std::pair<std::string, std::string>>& values) {
  std::error_code error;
  if (file.empty()) return Problem{"", "HOME", "a home folder for settings", "none", Outcome::system_failed};
  fs::create_directories(file.parent_path(), error);
  const fs::path fresh = file.string() + ".new";
  {
    std::ofstream out(fresh, std::ios::binary | std::ios::trunc);
    if (!remark.empty()) out << "# " << remark << '\n';
    for (const auto& [name, value] : values) {
      std::string one_line = value;
      for (char& c : one_line)
        if (c == '\n' || c == '\r') c = ' ';
      out << name << " = " << one_line << '\n';
    }
    out.flush();
    if (!out) return Problem{fresh.string(), "", "a file that can be written", "it cannot", Outcome::system_failed};
  }
  fs::rename(fresh, file, error);
  if (error) return Problem{file.string(), "", "a file that can be replaced", error.message(), Outcome::system_failed};
  return Done{};
}

}  // namespace boardlore
