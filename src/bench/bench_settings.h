// What a person sets once (a file in the config folder, written by the window and by people alike) and what the window
// remembers by itself (a file in the state folder). XDG Base Directory Specification 0.8.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "bench/theme.h"
#include "domain/problem.h"

namespace boardlore {

// Type and targets with gloves on: half as large again as a finger's width wants at 96 dpi would not fit 1280x720.
constexpr float big_target_factor = 1.25F;

struct Settings {
  ThemeName theme = ThemeName::dark;
  bool big_targets = false;
  bool flash = false, sound = false;  // on a reading out of limits
  bool small_map = true;              // while zoomed in
  bool turns_over_level = false;      // the board is turned over top to bottom, not left to right
  std::string meter;                  // tcp:HOST:PORT or serial:DEV
  std::string camera;                 // a command that takes a photo into the file %f

  bool operator==(const Settings&) const = default;
};

struct WindowMemory {
  int x = 0, y = 0, width = 0, height = 0;  // width 0: never shown yet
  bool maximised = false;
  bool worklist_folded = false, card_folded = false, roll_folded = false;
  bool first_steps_done = false;

  bool operator==(const WindowMemory&) const = default;
};

// Unknown names and values are said; the rest counts.
Settings read_settings(const std::filesystem::path& file, std::vector<Problem>& problems);
Result<Done> write_settings(const std::filesystem::path& file, const Settings& settings);
WindowMemory read_window_memory(const std::filesystem::path& file);
Result<Done> write_window_memory(const std::filesystem::path& file, const WindowMemory& memory);

}  // namespace boardlore
