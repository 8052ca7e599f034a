// Who else has a folder open: told, never enforced.
//
// Each window that holds a folder open keeps a small file `.open-<number>` in it and touches it now and then. Whoever
// looks sees those that were touched a short while ago. A machine that crashed stops touching; on the same machine the
// kernel tells at once, as the owner held a lock on its file. What has run out is removed by the next that looks, and
// nobody is ever kept from editing: saves merge. The file says the technician's name as set in this program, else
// nothing of a person; never a user's or a machine's name.
#pragma once

#include <chrono>
#include <filesystem>
#include <string>
#include <vector>

#include "domain/id.h"

namespace boardlore {

// Documented in README.md. A window touches its file every `presence_beat_s`; one not touched for longer than
// `presence_expires_s` is no longer there.
constexpr int presence_beat_s = 20;
constexpr int presence_expires_s = 90;

// This process's own: there while it lives.
class Presence {
 public:
  // Where no file can be made (a read-only folder) nobody is told, and nothing else fails.
  Presence(const std::filesystem::path& dir, const std::string& technician, Timestamp now);
  Presence(const Presence&) = delete;
  Presence& operator=(const Presence&) = delete;
  ~Presence();  // takes the file away

  // Every second or two; the disk is troubled once a beat. A file that others took for run out (this machine
  // slept) is made anew.
  void touch();
  const std::filesystem::path& file() const { return file_; }

 private:
  void make();

  std::filesystem::path file_;
  std::string told_;
  std::chrono::steady_clock::time_point touched_;
  int descriptor_ = -1;
};

struct Present {
  std::string who;     // the technician's name; empty: not said
  Timestamp since;
  bool this_machine = false;
};

// Those that are there, longest first, `own` left out. Files that ran out are removed. `now`: true time, as file
// times are.
std::vector<Present> others_present(const std::filesystem::path& dir, Timestamp now, const Presence* own = nullptr);

// "Ann and one more have this folder open"; empty: nobody.
std::string spoken_presence(const std::vector<Present>& others);

}  // namespace boardlore
