#include "judging/moisture.h"

#include <cctype>
#include <cstdio>

namespace boardlore {

const std::vector<FloorLife>& floor_lives() {
  static const std::vector<FloorLife> table{{"1", std::nullopt, "unlimited at 30 °C / 85 % RH", "J-STD-020 (conditions published; unlimited from memory)"},
                                            {"2", 8760, "1 year", "J-STD-020 (from memory)"},
                                            {"2a", 672, "4 weeks", "J-STD-020 as two makers publish it"},
                                            {"3", 168, "168 h", "J-STD-020 as two makers publish it"},
                                            {"4", 72, "72 h", "J-STD-020 as one maker publishes it"},
                                            {"5", 48, "48 h", "J-STD-020 (from memory)"},
                                            {"5a", 24, "24 h", "J-STD-020 (from memory)"},
                                            {"6", std::nullopt, "bake before use, then the time on the label", "J-STD-020 as one maker publishes it"}};
  return table;
}

const FloorLife* find_floor_life(std::string_view text) {
  std::string level;
  for (const char c : text)
    if (std::isalnum(static_cast<unsigned char>(c))) level += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  if (level.starts_with("msl")) level.erase(0, 3);
  for (const FloorLife& row : floor_lives())
    if (row.level == level) return &row;
  return nullptr;
}

FloorVerdict floor_verdict(std::string_view level, std::optional<Timestamp> bag_opened_at, Timestamp now) {
  const FloorLife* life = find_floor_life(level);
  if (!life) return {FloorState::unknown_level, 0, "moisture level \"" + std::string(level) + "\" is not one of 1, 2, 2a, 3, 4, 5, 5a, 6"};
  const std::string name = "MSL " + std::string(life->level) + ": ";
  if (life->level == "1") return {FloorState::not_sensitive, 0, name + std::string(life->words)};
  if (life->level == "6") return {FloorState::as_labelled, 0, name + std::string(life->words)};
  if (!bag_opened_at) return {FloorState::not_opened, 0, name + std::string(life->words) + " from opening the bag; when it was opened is not said"};
  const double hours = static_cast<double>(now.ms - bag_opened_at->ms) / 3.6e6;
  char text[120];
  std::snprintf(text, sizeof text, "%.1f h of %.0f h used", hours, *life->hours);
  // A bag opened in the future is a slip in the time, not floor life to spare.
  if (hours < 0) return {FloorState::not_opened, hours, name + "the bag's opening time lies in the future"};
  if (hours > *life->hours) return {FloorState::used_up, hours, name + text + "; bake before reflow (J-STD-033)"};
  return {FloorState::within, hours, name + text};
}

}  // namespace boardlore
