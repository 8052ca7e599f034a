#include "bench/overview.h"

#include <SDL_scancode.h>

#include <algorithm>

#include "bench/command_table.h"
#include "bench/widgets.h"

namespace boardlore {

void draw_overview(const Scene& scene, BenchState& state, ImVec2 window) {
  const Theme& t = scene.theme;
  // Groups in two columns, balanced by hand: the long one stands alone.
  const std::vector<std::vector<std::string_view>> columns{{"Document", "Find", "Photo in view", "Panels"}, {"Place", "Marks"}, {"View"}};
  const float column_w = t.grid(96), width = 3 * column_w + t.grid(16), height = t.grid(185);
  const ImVec2 size(std::min(width, window.x - t.grid(8)), std::min(height, window.y - t.grid(8)));
  ImGui::SetNextWindowPos(ImVec2((window.x - size.x) / 2, (window.y - size.y) / 2));
  ImGui::SetNextWindowSize(size);
  ImGui::SetNextWindowFocus();
  ImGui::PushStyleColor(ImGuiCol_WindowBg, t.raised);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 8 * t.scale);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(7), t.grid(6)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::Begin("overview", nullptr, ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings);
  heading(scene, "Keys");
  ImGui::SameLine();
  quiet(scene, "   F1 or Esc closes this");
  const ImVec2 start = ImGui::GetCursorPos();
  ImFont* font = scene.fonts.small;
  // Lines as close as the lowest window needs, so that the longest column ends above the last line.
  const float head = t.grid(0.5F), tighter = t.grid(0.25F), gap = t.grid(2.5F);
  float line = t.grid(5.5F);
  for (const auto& column : columns) {
    float lines = 0, apart = 0;
    for (const std::string_view group : column) {
      const auto rows = static_cast<float>(std::count_if(command_table().begin(), command_table().end(), [&](const CommandRow& row) { return group == row.group && row.words[0] != 0; }));
      lines += rows + 1, apart += head + gap - rows * tighter;
    }
    line = std::min(line, (size.y - t.grid(10) - start.y - t.grid(2) - apart) / lines);
  }
  for (std::size_t c = 0; c < columns.size(); ++c) {
    float y = start.y + t.grid(2);
    const float x = start.x + static_cast<float>(c) * (size.x - t.grid(14)) / 3;
    for (const std::string_view group : columns[c]) {
      ImGui::SetCursorPos(ImVec2(x, y));
      text(scene, scene.fonts.strong, t.text, std::string(group));
      y += line + head;
      for (const CommandRow& row : command_table()) {
        if (group != row.group || row.words[0] == 0) continue;
        ImGui::SetCursorPos(ImVec2(x, y));
        text(scene, font, t.quiet, row.key == SDL_SCANCODE_LEFT ? (row.shift ? "Shift+arrows" : "arrows") : key_words(row));
        ImGui::SetCursorPos(ImVec2(x + t.grid(27), y));
        text(scene, font, t.text, shortened(font, row.words, (size.x - t.grid(14)) / 3 - t.grid(29)));
        y += line - tighter;
      }
      y += gap;
    }
  }
  ImGui::SetCursorPos(ImVec2(start.x, size.y - t.grid(10)));
  quiet(scene, "Wheel: closer and farther.  Right or middle button: move the photo.  Left button over nothing: box of marks.");
  ImGui::End();
  ImGui::PopStyleVar(3);
  ImGui::PopStyleColor();
  static_cast<void>(state);
}

}  // namespace boardlore
