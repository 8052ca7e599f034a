#include "bench/first_steps.h"

#include "bench/command_table.h"
#include "bench/widgets.h"

namespace boardlore {

void FirstSteps::draw(const Scene& scene, BenchState& state, ImVec2 min, ImVec2 max) {
  if (!on(scene.desk)) return;
  const Theme& t = scene.theme;
  const std::size_t marks = scene.layer().marks.size();
  if (marks_at_first_ == 0) marks_at_first_ = marks;
  if (!state.selected.empty()) looked_ = true;
  const bool marked = marks > marks_at_first_;
  struct Step {
    bool done;
    std::string words, how;
  };
  const Step steps[] = {
      {looked_, "Look", "The wheel goes closer. Click a part: its card stands on the right."},
      {marked, "Mark", key_words(Command::part_tool) + ", then three corners of a part. " + key_words(Command::undo) + " takes it back."},
      {false, "Your own board", "Drop a photo of it on this window."}};
  const float width = std::min(t.grid(96), max.x - min.x - t.grid(6));
  ImGui::SetNextWindowPos(ImVec2(max.x - t.grid(3), max.y - t.grid(3)), 0, ImVec2(1, 1));
  ImGui::SetNextWindowSize(ImVec2(width, 0));
  ImGui::PushStyleColor(ImGuiCol_WindowBg, t.panel);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 6 * t.scale);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(4), t.grid(3)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::Begin("first-steps", nullptr, ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoFocusOnAppearing | ImGuiWindowFlags_NoNav);
  text(scene, scene.fonts.strong, t.text, "This is a demo board. Three steps:");
  ImGui::SameLine(width - t.grid(10));
  if (symbol_button(scene, "first-steps-close", symbol::cross, "Leave them out")) finish();
  bool next = true;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  for (int i = 0; i < 3; ++i) {
    const Step& step = steps[i];
    const ImVec2 at = ImGui::GetCursorScreenPos();
    const ImVec2 middle(at.x + t.grid(3), at.y + t.grid(3));
    const bool now = !step.done && std::exchange(next, false);
    if (step.done || now) list.AddCircleFilled(middle, t.grid(2.75F), step.done ? t.good : t.strong);
    else list.AddCircle(middle, t.grid(2.5F), t.quiet, 0, 1.5F * t.scale);
    const std::string sign = step.done ? std::string(symbol::check) : std::to_string(i + 1);
    ImFont* small = scene.fonts.small;
    const ImVec2 wide = small->CalcTextSizeA(small->FontSize, FLT_MAX, 0, sign.c_str());
    list.AddText(small, small->FontSize, ImVec2(middle.x - wide.x / 2, middle.y - wide.y / 2), step.done || now ? t.on_strong : t.quiet, sign.c_str());
    ImGui::SetCursorScreenPos(ImVec2(at.x + t.grid(8), at.y));
    ImGui::BeginGroup();
    text(scene, now ? scene.fonts.strong : scene.fonts.body, step.done ? t.quiet : t.text, step.words);
    if (now) {
      ImGui::PushTextWrapPos(width - t.grid(4));
      text(scene, small, t.quiet, step.how);
      ImGui::PopTextWrapPos();
    }
    ImGui::EndGroup();
    ImGui::Dummy(ImVec2(0, t.grid(0.5F)));
  }
  scene.anchors.note("first-steps", ImGui::GetWindowPos(), ImVec2(ImGui::GetWindowPos().x + ImGui::GetWindowWidth(), ImGui::GetWindowPos().y + ImGui::GetWindowHeight()));
  ImGui::End();
  ImGui::PopStyleVar(3);
  ImGui::PopStyleColor();
}

}  // namespace boardlore
