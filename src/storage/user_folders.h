// Where a person's settings and the window's memory lie (XDG Base Directory Specification 0.8), and the one form both
// have: "name = value" a line, # begins a remark. Settings are written by people too, so what is wrong is said by line.
#pragma once

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "domain/problem.h"

namespace boardlore {

// $XDG_CONFIG_HOME/boardlore/NAME, else ~/.config/boardlore/NAME; empty where neither is known.
std::filesystem::path config_file(const std::string& name);
// $XDG_STATE_HOME/boardlore/NAME, else ~/.local/state/boardlore/NAME.
std::filesystem::path state_file(const std::string& name);

struct NamedValue {
  std::string name, value;
  int line = 0;
};
struct NamedValues {
  std::vector<NamedValue> values;
  std::vector<Problem> problems;  // lines that are none; a file too large
};
// A file that is not there holds nothing, and that is no problem.
NamedValues read_named_values(const std::filesystem::path& file);
// In one rename; folders are made.
Result<Done> write_named_values(const std::filesystem::path& file, const std::string& remark, const std::vector<std::pair<std::string, std::string>>& values);

}  // namespace boardlore
