#include "bench/net_view.h"

#include <algorithm>
#include <map>

#include "bench/widgets.h"
#include "editing/mark_rules.h"
#include "judging/judge.h"

namespace boardlore {

void draw_net(const Scene& scene, const BenchState& state, const PaneLook& look) {
  if (state.lit_net.empty() || !look.photo || !look.map) return;
  const Theme& t = scene.theme;
  for (const NetPoint& point : scene.derived.net_points(state.lit_net)) {
    const auto at = look.to_screen(point.at);
    if (!at || at->x < look.min.x || at->x > look.max.x || at->y < look.min.y || at->y > look.max.y) continue;
    const bool here = point.mark->side == look.photo->photo.side;
    const float r = t.grid(here ? 1.75F : 2.25F);
    // White within black stands out on any ground; filled or open tells the side, not a colour.
    look.list->AddCircle(*at, r, IM_COL32(0, 0, 0, 255), 0, 5 * t.scale);
    look.list->AddCircle(*at, r, IM_COL32(255, 255, 255, 255), 0, 2.5F * t.scale);
    if (here) look.list->AddCircleFilled(*at, r * 0.55F, IM_COL32(255, 255, 255, 255));
  }
}

std::vector<NetRow> net_rows(const std::vector<NetPoint>& points, const Job* job) {
  std::vector<NetRow> rows;
  for (const NetPoint& point : points) {
    NetRow row{spoken_name(*point.mark) + (point.mark->kind == MarkKind::part ? "." + point.pin : ""), point.mark->side, point.mark->id, point.exact, {}};
    if (job)
      for (const Reading& reading : job->readings)
        if (reading.mark == point.mark->id && (reading.pin == point.pin || (reading.pin.empty() && point.mark->kind == MarkKind::probe)))
          row.reading = print_reading(reading) + " " + std::string(quantity_name(reading.quantity));
    rows.push_back(std::move(row));
  }
  std::stable_sort(rows.begin(), rows.end(), [](const NetRow& a, const NetRow& b) { return !a.reading.empty() && b.reading.empty(); });
  return rows;
}

void draw_nets(const Scene& scene, BenchState& state, const Mark& mark) {
  if (mark.nets.empty()) return;
  const Theme& t = scene.theme;
  separator(scene);
  text(scene, scene.fonts.strong, t.text, "Nets");
  // One button a net, with the pins that are on it.
  std::map<std::string, std::string> pins_on;
  for (const auto& [pin, net] : mark.nets) pins_on[net] += (pins_on[net].empty() ? "" : ", ") + pin;
  const float right = ImGui::GetCursorScreenPos().x + ImGui::GetContentRegionAvail().x;
  bool first = true;
  for (const auto& [net, pins] : pins_on) {
    const std::string words = net + (mark.kind == MarkKind::part ? "  " + pins : "");
    const std::string cut = shortened(scene.fonts.small, words, t.grid(40));
    const float wide = scene.fonts.small->CalcTextSizeA(scene.fonts.small->FontSize, FLT_MAX, 0, cut.c_str()).x + t.grid(4);
    if (!first) {
      ImGui::SameLine(0, t.grid(1));
      if (ImGui::GetCursorScreenPos().x + wide > right) ImGui::NewLine();
    }
    first = false;
    const bool on = state.lit_net == net;
    ImGui::PushStyleColor(ImGuiCol_Button, on ? t.strong : t.raised);
    ImGui::PushStyleColor(ImGuiCol_ButtonHovered, on ? t.strong : t.hover);
    ImGui::PushStyleColor(ImGuiCol_Text, on ? t.on_strong : t.text);
    ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, ImVec2(t.grid(2), t.grid(1)));
    ImGui::PushFont(scene.fonts.small);
    if (ImGui::Button((cut + "##net-" + net).c_str())) state.lit_net = on ? "" : net;
    ImGui::PopFont();
    ImGui::PopStyleVar();
    ImGui::PopStyleColor(3);
    scene.anchors.note("net-" + net);
  }
  if (state.lit_net.empty()) return;
  const auto rows = net_rows(scene.derived.net_points(state.lit_net), scene.job());
  if (rows.empty()) return;
  quiet(scene, state.lit_net + ": " + std::to_string(rows.size()) + (rows.size() == 1 ? " point" : " points") + "; open rings are on the other side");
  const std::size_t most = 12;
  for (std::size_t i = 0; i < rows.size() && i < most; ++i) {
    const NetRow& row = rows[i];
    ImGui::PushID(static_cast<int>(i));
    const ImVec2 at = ImGui::GetCursorScreenPos();
    const float width = ImGui::GetContentRegionAvail().x, height = t.grid(6);
    if (ImGui::InvisibleButton("net-row", ImVec2(width, height))) scene.intents.push(intent::ShowMark{row.mark});
    scene.anchors.note("net-point-" + row.name);
    ImDrawList& list = *ImGui::GetWindowDrawList();
    if (ImGui::IsItemHovered()) list.AddRectFilled(at, ImVec2(at.x + width, at.y + height), t.raised, 4 * t.scale);
    ImFont* small = scene.fonts.small;
    const float y = at.y + (height - small->FontSize) / 2;
    const std::string name = row.name + (row.side == Side::top ? "  T" : "  B") + (row.exact ? "" : "  (somewhere on it)");
    list.AddText(small, small->FontSize, ImVec2(at.x + t.grid(1), y), t.text, shortened(small, name, width * 0.55F).c_str());
    list.AddText(small, small->FontSize, ImVec2(at.x + width * 0.6F, y), t.text, shortened(small, row.reading, width * 0.4F).c_str());
    ImGui::PopID();
  }
  if (rows.size() > most) quiet(scene, "and " + std::to_string(rows.size() - most) + " more");
}

}  // namespace boardlore
