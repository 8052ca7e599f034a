#include "bench/at_work_line.h"

#include "bench/widgets.h"

namespace boardlore {

bool draw_at_work(const Scene& scene, const char* name, const std::string& words, double progress, ImVec2 middle_top) {
  const Theme& t = scene.theme;
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(4), t.grid(2)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 6 * t.scale);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::PushStyleColor(ImGuiCol_WindowBg, t.raised);
  ImGui::SetNextWindowPos(middle_top, 0, ImVec2(0.5F, 0));
  ImGui::Begin(name, nullptr, ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_AlwaysAutoResize | ImGuiWindowFlags_NoFocusOnAppearing | ImGuiWindowFlags_NoSavedSettings);
  ImGui::AlignTextToFramePadding();
  text(scene, scene.fonts.body, t.text, words);
  ImGui::SameLine(0, t.grid(4));
  const bool stop = button(scene, (std::string("stop-") + name).c_str(), "Stop");
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float width = ImGui::GetWindowWidth() - 2 * t.grid(4), height = t.grid(1);
  ImGui::Dummy(ImVec2(1, height));
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddRectFilled(at, ImVec2(at.x + width, at.y + height), t.line, 2);
  list.AddRectFilled(at, ImVec2(at.x + width * static_cast<float>(progress), at.y + height), t.strong, 2);
  ImGui::End();
  ImGui::PopStyleColor();
  ImGui::PopStyleVar(3);
  return stop;
}

}  // namespace boardlore
