// Runs a short script with the system's Python, for checks against reference libraries (Debian packages).
#pragma once

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <optional>
#include <sstream>
#include <string>
#include <unistd.h>

namespace boardlore {

// True where /usr/bin/python3 can import the module.
inline bool python_has(const std::string& module) {
  return std::system(("/usr/bin/python3 -c 'import " + module + "' >/dev/null 2>&1").c_str()) == 0;
}

// What the script prints when fed `input` on its standard input; nullopt: it failed.
inline std::optional<std::string> python_output(const std::string& script, const std::string& input) {
  const auto stem = std::filesystem::temp_directory_path() / ("boardlore-reference-" + std::to_string(::getpid()));
  const std::string script_path = stem.string() + ".py", input_path = stem.string() + ".txt";
  std::ofstream(script_path) << script;
  std::ofstream(input_path) << input;
  std::string text;
  int status = -1;
  if (std::FILE* pipe = ::popen(("/usr/bin/python3 " + script_path + " < " + input_path).c_str(), "r")) {
    std::array<char, 65536> buffer{};
    for (std::size_t got; (got = std::fread(buffer.data(), 1, buffer.size(), pipe)) > 0;) text.append(buffer.data(), got);
    status = ::pclose(pipe);
  }
  std::error_code ignored;
  std::filesystem::remove(script_path, ignored);
  std::filesystem::remove(input_path, ignored);
  if (status != 0) return std::nullopt;
  return text;
}

}  // namespace boardlore
