#include "bench/photo_roll.h"

#include "bench/photo_sheet.h"
#include "bench/widgets.h"

namespace boardlore {
namespace {

const char* stage_words(const std::optional<PhotoStage>& stage) {
  if (!stage) return "photo";
  switch (*stage) {
    case PhotoStage::intake: return "intake";
    case PhotoStage::before: return "before";
    case PhotoStage::during: return "during";
    case PhotoStage::after: return "after";
  }
  return "";
}

}  // namespace

std::vector<RollRow> roll_rows(const DeskView& desk) {
  std::vector<RollRow> rows;
  for (const DeskPhoto& entry : desk.photos) {
    RollRow row;
    row.photo = entry.photo.id;
    row.caption = entry.reference ? "reference" : stage_words(entry.photo.stage);
    row.second = std::string(side_name(entry.photo.side));
    if (entry.made) row.caption = entry.photo.file.ends_with("square-on") ? "square-on" : "joined";
    if (entry.photo.captured_at && !entry.reference) row.second += "  " + to_rfc3339(*entry.photo.captured_at).substr(11, 5);
    row.registered = entry.photo.registration.has_value();
    rows.push_back(std::move(row));
  }
  return rows;
}

void draw_photo_roll(const Scene& scene, BenchState& state, float height) {
  const Theme& t = scene.theme;
  const auto rows = roll_rows(scene.desk);
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const float picture_w = height * 1.25F, words_w = t.grid(24), gap = t.grid(2);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(gap, 0));
  ImGui::BeginChild("roll", ImVec2(0, height + t.grid(3)), false, ImGuiWindowFlags_HorizontalScrollbar);
  ImDrawList& inner = *ImGui::GetWindowDrawList();
  static_cast<void>(list);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const RollRow& row = rows[i];
    const DeskPhoto* photo = scene.desk.find_photo(row.photo);
    if (!photo) continue;
    if (i > 0) ImGui::SameLine();
    ImGui::PushID(row.photo.text.c_str());
    const ImVec2 at = ImGui::GetCursorScreenPos();
    if (ImGui::InvisibleButton("photo", ImVec2(picture_w + words_w, height))) scene.intents.push(intent::ShowPhoto{row.photo});
    const bool hovered = ImGui::IsItemHovered();
    const bool shown = state.pane[0].photo == row.photo || (state.panes != Panes::one && state.pane[1].photo == row.photo);
    const bool visible = ImGui::IsItemVisible();
    scene.anchors.note("roll-" + std::to_string(i));
    if (!photo->reference && !photo->made && scene.job()) draw_photo_sheet(scene, state, photo->photo);
    if (hovered) {
      ImGui::BeginTooltip();
      text(scene, scene.fonts.small, t.text, photo->photo.file);
      ImGui::EndTooltip();
    }
    if (visible) {
      const PhotoTextures::State loaded = scene.textures.ask(photo->path, false);
      inner.AddRectFilled(at, ImVec2(at.x + picture_w + words_w, at.y + height), hovered || shown ? t.raised : t.panel, 4);
      inner.AddRectFilled(at, ImVec2(at.x + picture_w, at.y + height), t.bench, 3);
      if (loaded.trouble.empty())
        scene.textures.draw_thumbnail(inner, photo->path, at, ImVec2(at.x + picture_w, at.y + height));
      else
        inner.AddText(scene.fonts.body, scene.fonts.body->FontSize, ImVec2(at.x + picture_w / 2 - t.grid(2), at.y + height / 2 - t.grid(2)), t.bad, symbol::warning);
      if (shown) inner.AddRect(ImVec2(at.x - 1, at.y - 1), ImVec2(at.x + picture_w + 1, at.y + height + 1), t.strong, 3, 0, 2);
      const float x = at.x + picture_w + t.grid(2), line = scene.fonts.small->FontSize + t.grid(1);
      float y = at.y + (height - 3 * line) / 2;
      const auto words = [&](const std::string& w, ImU32 ink) {
        inner.AddText(scene.fonts.small, scene.fonts.small->FontSize, ImVec2(x, y), ink, shortened(scene.fonts.small, w, words_w - t.grid(3)).c_str());
        y += line;
      };
      words(row.caption, t.text);
      words(row.second, t.quiet);
      words(row.registered ? "registered" : "not registered", row.registered ? t.quiet : t.doubtful);
    }
    ImGui::PopID();
  }
  if (rows.empty()) quiet(scene, "No photos yet: drop them on the window.");
  ImGui::EndChild();
  ImGui::PopStyleVar();
}

}  // namespace boardlore
