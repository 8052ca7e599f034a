// Runs a program of the machine or Boardlore itself and keeps what it said.
#pragma once

#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <string>

#include "support/places.h"

struct RunResult {
  int exit_code = -1;
  std::string output;  // stdout, and stderr too where asked for
};

inline std::string shell_quoted(const std::string& text) {
  std::string quoted = "'";
  for (const char c : text) quoted += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return quoted + "'";
}

inline RunResult run_shell(const std::string& command) {
  RunResult result;
  FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) return result;
  std::array<char, 65536> block{};
  std::size_t n = 0;
  while ((n = fread(block.data(), 1, block.size(), pipe)) > 0) result.output.append(block.data(), n);
  const int status = pclose(pipe);
  result.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  return result;
}

// "mark add DIR --at 1,2", already quoted where needed.
inline RunResult run_boardlore(const std::string& arguments, const std::string& environment = "") {
  return run_shell(environment + " " + shell_quoted(boardlore::places::program().string()) + " " + arguments + " 2>&1");
}
