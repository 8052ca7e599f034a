// Words that must not leave the shop, wherever somebody typed them.
//
// A note says "Miller's unit, SN 4711": the owner's name and the serial number are members of the job, and nobody looks
// for them in a note. So the job's own private words (owner, serial number, who worked on it), the names of this
// machine and its user, and anything that looks like a path or an address are searched for in every free text of what
// is given out, and what is found is replaced.
#pragma once

#include <string>
#include <vector>

#include "editing/document.h"

namespace boardlore {

// What stands in its place. Written into exported layers.
inline constexpr const char* left_out_words = "[left out]";

class PrivateWords {
 public:
  // Of this job (if any), its board's notes, and this machine. `keep_names`: technicians may be named.
  PrivateWords(const Snapshot& snapshot, bool keep_names);

  // Whole words only, whatever the case; counted. Paths and addresses too.
  std::string without(const std::string& text);
  std::size_t left_out() const { return left_out_; }

 private:
  void add(const std::string& name);

  std::vector<std::string> words_;  // lower case, longest first
  std::size_t left_out_ = 0;
};

// "/home/ann/x", "C:\Users\ann", "file:///...", "ann@host" in a text: what it is; empty: nothing such.
std::string place_of_a_machine(const std::string& text);

}  // namespace boardlore
