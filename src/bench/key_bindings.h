// A person's own keys: "turn-view = Ctrl+Right" a line in the keys file. What is wrong in it is said by line, and every other
// line counts; a key goes to one command only.
#pragma once

#include <filesystem>

#include "bench/command_table.h"
#include "domain/problem.h"

namespace boardlore {

struct Key {
  SDL_Scancode code = SDL_SCANCODE_UNKNOWN;  // unknown: none
  bool ctrl = false, shift = false;
  bool operator==(const Key&) const = default;
};

// "Ctrl+Shift+Z", "F5", "Page Down", "none"; nullopt: no such key.
std::optional<Key> parse_key(const std::string& words);

// The table with the file's keys in it.
std::vector<CommandRow> with_keys_of(const std::filesystem::path& file, std::span<const CommandRow> usual, std::vector<Problem>& problems);

}  // namespace boardlore
