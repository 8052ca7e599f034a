#include "bench/bench_settings.h"

#include <charconv>

#include "storage/user_folders.h"

namespace boardlore {
namespace {

constexpr std::pair<const char*, ThemeName> theme_names[] = {
    {"dark", ThemeName::dark}, {"light", ThemeName::light}, {"high-contrast", ThemeName::high_contrast}};

const char* yes_or_no(bool value) { return value ? "yes" : "no"; }

std::optional<bool> parse_yes(const std::string& words) {
  if (words == "yes" || words == "on" || words == "true" || words == "1") return true;
  if (words == "no" || words == "off" || words == "false" || words == "0") return false;
  return std::nullopt;
}

}  // namespace

Settings read_settings(const std::filesystem::path& file, std::vector<Problem>& problems) {
  Settings settings;
  NamedValues read = read_named_values(file);
  problems.insert(problems.end(), read.problems.begin(), read.problems.end());
  for (const NamedValue& entry : read.values) {
    const auto wrong = [&](const std::string& expected, const std::string& found) {
      problems.push_back({file.string(), "line " + std::to_string(entry.line), expected, found});
    };
    bool Settings::*flag = entry.name == "big-targets"        ? &Settings::big_targets
                           : entry.name == "flash"            ? &Settings::flash
                           : entry.name == "sound"            ? &Settings::sound
                           : entry.name == "small-map"        ? &Settings::small_map
                           : entry.name == "turns-over-level" ? &Settings::turns_over_level
                                                              : nullptr;
    if (flag) {
      if (const auto value = parse_yes(entry.value)) settings.*flag = *value;
      else wrong(entry.name + " = yes or no", entry.value);
    } else if (entry.name == "theme") {
      bool known = false;
      for (const auto& [name, theme] : theme_names)
        if (entry.value == name) settings.theme = theme, known = true;
      if (!known) wrong("theme = dark, light or high-contrast", entry.value);
    } else if (entry.name == "meter") {
      settings.meter = entry.value;
    } else if (entry.name == "camera") {
      settings.camera = entry.value;
    } else {
      wrong("theme, big-targets, flash, sound, small-map, turns-over-level, meter or camera", entry.name);
    }
  }
  return settings;
}

Result<Done> write_settings(const std::filesystem::path& file, const Settings& settings) {
  std::string theme;
  for (const auto& [name, value] : theme_names)
    if (value == settings.theme) theme = name;
  return write_named_values(file, "Boardlore's window; written by its settings sheet, and by hand",
                            {{"theme", theme}, {"big-targets", yes_or_no(settings.big_targets)}, {"flash", yes_or_no(settings.flash)},
                             {"sound", yes_or_no(settings.sound)}, {"small-map", yes_or_no(settings.small_map)},
                             {"turns-over-level", yes_or_no(settings.turns_over_level)}, {"meter", settings.meter}, {"camera", settings.camera}});
}

WindowMemory read_window_memory(const std::filesystem::path& file) {
  WindowMemory memory;
  // Nobody writes this by hand: what is odd in it is passed over.
  for (const NamedValue& entry : read_named_values(file).values) {
    int number = 0;
    const auto [end, error] = std::from_chars(entry.value.data(), entry.value.data() + entry.value.size(), number);
    const bool whole = error == std::errc() && end == entry.value.data() + entry.value.size() && number > -100000 && number < 100000;
    const bool yes = parse_yes(entry.value).value_or(false);
    if (entry.name == "x" && whole) memory.x = number;
    if (entry.name == "y" && whole) memory.y = number;
    if (entry.name == "width" && whole && number > 0) memory.width = number;
    if (entry.name == "height" && whole && number > 0) memory.height = number;
    if (entry.name == "maximised") memory.maximised = yes;
    if (entry.name == "worklist-folded") memory.worklist_folded = yes;
    if (entry.name == "card-folded") memory.card_folded = yes;
    if (entry.name == "roll-folded") memory.roll_folded = yes;
    if (entry.name == "first-steps-done") memory.first_steps_done = yes;
  }
  if (memory.width == 0 || memory.height == 0) memory.width = memory.height = 0;
  return memory;
}

Result<Done> write_window_memory(const std::filesystem::path& file, const WindowMemory& m) {
  return write_named_values(file, "",
                            {{"x", std::to_string(m.x)}, {"y", std::to_string(m.y)}, {"width", std::to_string(m.width)}, {"height", std::to_string(m.height)},
                             {"maximised", yes_or_no(m.maximised)}, {"worklist-folded", yes_or_no(m.worklist_folded)},
                             {"card-folded", yes_or_no(m.card_folded)}, {"roll-folded", yes_or_no(m.roll_folded)},
                             {"first-steps-done", yes_or_no(m.first_steps_done)}});
}

}  // namespace boardlore
