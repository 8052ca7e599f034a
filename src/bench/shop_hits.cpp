#include "bench/shop_hits.h"

#include "bench/widgets.h"

namespace boardlore {
namespace {

void go_to(const Scene& scene, const Hit& hit) {
  const std::filesystem::path dir(hit.dir);
  if (hit.kind == HitKind::mark) scene.intents.push(intent::OpenAtMark{dir, Id{hit.id}});
  else scene.intents.push(intent::OpenFolder{dir});
}

}  // namespace

HitRow hit_row(const Hit& hit) {
  const std::string day = hit.opened_at ? to_rfc3339(*hit.opened_at).substr(0, 10) : "";
  switch (hit.kind) {
    case HitKind::board: return {"board", hit.board, hit.dir};
    case HitKind::job: {
      std::string second = hit.board + (day.empty() ? "" : ", " + day) + (hit.outcome.empty() ? "" : ", " + hit.outcome);
      if (!hit.excerpt.empty() && hit.excerpt != hit.title) second += ", " + hit.excerpt;
      return {"job", hit.title + (hit.symptom.empty() || hit.symptom == hit.title ? "" : " (" + hit.symptom + ")"), second};
    }
    case HitKind::mark: return {"mark", hit.refdes.empty() ? hit.title : hit.refdes + (hit.title.empty() ? "" : "  " + hit.title), hit.board};
  }
  return {};
}

void draw_shop_hits(const Scene& scene, const ShopFound& found, const std::filesystem::path& leave_out, float height, bool first_wanted) {
  const Theme& t = scene.theme;
  if (!found.trouble.empty()) return quiet_wrapped(scene, found.trouble);
  std::vector<const Hit*> shown;
  for (const Hit& hit : found.hits)
    if (leave_out.empty() || std::filesystem::path(hit.dir) != leave_out) shown.push_back(&hit);
  if (shown.empty()) return quiet(scene, leave_out.empty() ? "Nothing in the shop has these words." : "Nothing else in the shop has these words.");
  if (first_wanted) go_to(scene, *shown.front());
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(0, 0));
  const float row_height = t.grid(11.5F);
  ImGui::BeginChild("shop-hits", ImVec2(0, height > 0 ? height : row_height * static_cast<float>(shown.size())));
  const float width = ImGui::GetContentRegionAvail().x;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  ImGuiListClipper clipper;
  clipper.Begin(static_cast<int>(shown.size()), row_height);
  while (clipper.Step())
    for (int i = clipper.DisplayStart; i < clipper.DisplayEnd; ++i) {
      const Hit& hit = *shown[static_cast<std::size_t>(i)];
      const HitRow row = hit_row(hit);
      ImGui::PushID(i);
      const ImVec2 at = ImGui::GetCursorScreenPos();
      if (ImGui::InvisibleButton("hit", ImVec2(width, row_height))) go_to(scene, hit);
      if (ImGui::IsItemHovered()) list.AddRectFilled(at, ImVec2(at.x + width, at.y + row_height), t.raised, 4 * t.scale);
      scene.anchors.note("hit-" + row.kind + "-" + std::to_string(i));
      ImFont *small = scene.fonts.small, *body = scene.fonts.body;
      const float left = t.grid(13);
      list.AddText(small, small->FontSize, ImVec2(at.x + t.grid(1.5F), at.y + t.grid(2)), t.quiet, row.kind.c_str());
      list.AddText(body, body->FontSize, ImVec2(at.x + left, at.y + t.grid(1)), t.text, shortened(body, row.first, width - left - t.grid(2)).c_str());
      list.AddText(small, small->FontSize, ImVec2(at.x + left, at.y + t.grid(6.25F)), t.quiet, shortened(small, row.second, width - left - t.grid(2)).c_str());
      ImGui::PopID();
    }
  ImGui::EndChild();
  ImGui::PopStyleVar();
}

}  // namespace boardlore
