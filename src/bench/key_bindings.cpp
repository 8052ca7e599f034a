#include "bench/key_bindings.h"

#include <SDL_keyboard.h>

#include <algorithm>
#include <set>

#include "storage/user_folders.h"

namespace boardlore {
namespace {

Key key_of(const CommandRow& row) { return {row.key, row.ctrl, row.shift}; }

// A key that types a letter would be swallowed by every text field: such commands wait while somebody types.
bool types_something(const Key& key) {
  if (key.ctrl) return false;
  return key.code < SDL_SCANCODE_F1 && key.code != SDL_SCANCODE_ESCAPE && key.code != SDL_SCANCODE_CAPSLOCK;
}

}  // namespace

std::optional<Key> parse_key(const std::string& words) {
  Key key;
  std::string name = words;
  for (bool more = true; more;) {
    more = false;
    for (const auto& [prefix, flag] : {std::pair{std::string("Ctrl+"), &Key::ctrl}, std::pair{std::string("Shift+"), &Key::shift}})
      if (name.size() > prefix.size() && SDL_strncasecmp(name.c_str(), prefix.c_str(), prefix.size()) == 0) {
        key.*flag = true;
        name.erase(0, prefix.size());
        more = true;
      }
  }
  if (SDL_strcasecmp(words.c_str(), "none") == 0) return Key{};
  static const std::pair<const char*, SDL_Scancode> ours[] = {
      {"+", SDL_SCANCODE_EQUALS},     {"Enter", SDL_SCANCODE_RETURN}, {"Esc", SDL_SCANCODE_ESCAPE},       {"Del", SDL_SCANCODE_DELETE},
      {"Page Down", SDL_SCANCODE_PAGEDOWN}, {"Page Up", SDL_SCANCODE_PAGEUP}, {"←", SDL_SCANCODE_LEFT}, {"→", SDL_SCANCODE_RIGHT},
      {"↑", SDL_SCANCODE_UP},         {"↓", SDL_SCANCODE_DOWN}};
  for (const auto& [said, code] : ours)
    if (SDL_strcasecmp(name.c_str(), said) == 0) key.code = code;
  if (key.code == SDL_SCANCODE_UNKNOWN) key.code = SDL_GetScancodeFromName(name.c_str());
  if (key.code == SDL_SCANCODE_UNKNOWN) return std::nullopt;
  return key;
}

std::vector<CommandRow> with_keys_of(const std::filesystem::path& file, std::span<const CommandRow> usual, std::vector<Problem>& problems) {
  std::vector<CommandRow> rows(usual.begin(), usual.end());
  const NamedValues read = read_named_values(file);
  problems.insert(problems.end(), read.problems.begin(), read.problems.end());
  std::set<Command> chosen;
  for (const NamedValue& entry : read.values) {
    const std::string line = "line " + std::to_string(entry.line);
    const auto row = std::find_if(rows.begin(), rows.end(), [&](const CommandRow& r) { return command_name(r.command) == entry.name; });
    const auto key = parse_key(entry.value);
    if (row == rows.end()) {
      problems.push_back({file.string(), line, "the name of a command, as `boardlore keys` lists them", entry.name});
      continue;
    }
    if (!key) {
      problems.push_back({file.string(), line, "a key, as Ctrl+Shift+Z, F5, Page Down, or none", entry.value});
      continue;
    }
    const auto owner = std::find_if(rows.begin(), rows.end(), [&](const CommandRow& r) {
      return r.command != row->command && key->code != SDL_SCANCODE_UNKNOWN && key_of(r) == *key;
    });
    if (owner != rows.end() && chosen.contains(owner->command)) {
      problems.push_back({file.string(), line, "a key of its own", entry.value + ", which this file gives to " + command_name(owner->command)});
      continue;
    }
    // A key that was somebody else's by default is taken from it.
    if (owner != rows.end()) owner->key = SDL_SCANCODE_UNKNOWN, owner->ctrl = owner->shift = false;
    row->key = key->code, row->ctrl = key->ctrl, row->shift = key->shift;
    if (types_something(*key)) row->while_typing = false;
    chosen.insert(row->command);
  }
  return rows;
}

}  // namespace boardlore
