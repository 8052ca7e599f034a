// Columns of text for a terminal: as wide as their longest cell, counted in characters.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

namespace boardlore {

inline std::size_t width_of(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

inline std::string text_table(const std::vector<std::vector<std::string>>& rows) {
  std::vector<std::size_t> widths;
  for (const auto& row : rows)
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (i == widths.size()) widths.push_back(0);
      widths[i] = std::max(widths[i], width_of(row[i]));
    }
  std::string text;
  for (const auto& row : rows) {
    for (std::size_t i = 0; i < row.size(); ++i) {
      text += row[i];
      if (i + 1 < row.size()) text.append(widths[i] - width_of(row[i]) + 2, ' ');
    }
    text += '\n';
  }
  return text;
}

}  // namespace boardlore
