// What tests with other programs begin with: is it there, and what it wrote.
#pragma once

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "support/run_program.h"

inline std::string text_of(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

// Says 'skipped' where it is not.
inline bool have(const char* program) {
  if (run_shell(std::string("command -v ") + program + " >/dev/null").exit_code == 0) return true;
  MESSAGE("skipped: " << program << " is not installed");
  return false;
}
