// Boardlore run as a person runs it, in a folder of its own: what it answers, and with which exit code.
#pragma once

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "support/run_program.h"
#include "support/temporary_folder.h"

namespace boardlore {

struct CommandBench {
  TemporaryFolder tmp;

  RunResult run(const std::string& arguments) const {
    return run_boardlore(arguments, "BOARDLORE_TECHNICIAN=Tester BOARDLORE_INDEX='" + tmp.path.string() + "/index.sqlite'");
  }
  void exits(int code, const std::string& arguments) const {
    const RunResult result = run(arguments);
    INFO(arguments);
    INFO(result.output);
    CHECK(result.exit_code == code);
  }
  // Bad input: exit code 2, and the word that says what was wrong.
  void refuses(const std::string& arguments, const std::string& word) const {
    const RunResult result = run(arguments);
    INFO(arguments);
    INFO(result.output);
    CHECK(result.exit_code == 2);
    CHECK(result.output.find(word) != std::string::npos);
  }
  nlohmann::json asked(const std::string& arguments, int code = 0) const {
    const RunResult result = run(arguments + " --json");
    INFO(arguments);
    INFO(result.output);
    CHECK(result.exit_code == code);
    // What goes to stderr stands before the document.
    const std::size_t start = result.output.find_first_of("[{") == 0 ? 0 : std::min(result.output.find("\n["), result.output.find("\n{"));
    const nlohmann::json answer = nlohmann::json::parse(result.output.substr(std::min(start, result.output.size())), nullptr, false);
    REQUIRE_FALSE(answer.is_discarded());
    return answer;
  }
};

}  // namespace boardlore
