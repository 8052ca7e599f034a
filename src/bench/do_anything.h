// One key, then a few letters of what is wanted: every command of the window and every verb of the command line, found by
// letters in order. Verbs run as the program itself would run them, in the open folder, beside the frame.
#pragma once

#include "bench/command_table.h"
#include "bench/scene.h"
#include "bench/tasks.h"

namespace boardlore {

struct Verb {
  std::string name;   // "clearance", "new board"
  std::string usage;  // "clearance DIR REFDES"
  std::string words;
};

// How well `sought` fits: all its letters in order, better at the beginnings of words and in runs; 0: not at all.
int letters_fit(const std::string& sought, const std::string& words);

// Words as a shell would split them: quotes hold blanks together. nullopt: a quote is left open.
std::optional<std::vector<std::string>> split_words(const std::string& line);

class DoAnything {
 public:
  void use(std::vector<Verb> verbs, std::filesystem::path program);
  void open(BenchState& state);
  void close(BenchState& state);
  void draw(const Scene& scene, BenchState& state, ImVec2 window);
  bool working() const { return waiting_to_run_ || run_.running(); }
  const std::string& output() const { return output_; }

 private:
  struct Ran {
    int exit_code = 0;
    std::string output;
  };
  struct Row {
    int fit = 0;
    const CommandRow* command = nullptr;
    const Verb* verb = nullptr;
  };
  std::vector<Row> rows(bool mark_chosen) const;
  void start(const Scene& scene);
  std::vector<Verb> verbs_;
  std::filesystem::path program_;
  std::string line_, output_, ran_line_;
  std::size_t chosen_ = 0;
  bool focus_ = false, waiting_to_run_ = false, to_end_ = false;
  int exit_code_ = 0;
  Task<Ran> run_;
};

}  // namespace boardlore
