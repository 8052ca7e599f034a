#include "bench/photo_roll.h"

#include <SDL_scancode.h>

#include "bench/drag_out.h"
#include "bench/photo_sheet.h"
#include "bench/widgets.h"
#include "record/record_words.h"

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
    if (entry.photo.captured_at && !entry.reference) row.second += "  " + spoken_capture_time(entry.photo).substr(11, 5);  // as the camera's clock said
    row.registered = entry.photo.registration.has_value();
    rows.push_back(std::move(row));
  }
  return rows;
}

namespace {

// While a photo of the job is dragged out of the roll: a field for each stage above it.
void draw_stage_fields(const Scene& scene, BenchState& state, ImVec2 roll_min, float width) {
  const DeskPhoto* dragged = scene.desk.find_photo(state.dragged_photo);
  if (!dragged) return;
  const Theme& t = scene.theme;
  ImDrawList& list = *ImGui::GetForegroundDrawList();
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  const float gap = t.grid(2), height = t.grid(20), top = roll_min.y - height - t.grid(4), field = (width - 3 * gap) / 4;
  const bool let_go = !ImGui::IsMouseDown(0);
  for (int i = 0; i < 4; ++i) {
    const PhotoStage stage = photo_stages[i];
    const ImVec2 min(roll_min.x + static_cast<float>(i) * (field + gap), top), max(min.x + field, top + height);
    const bool over = mouse.x >= min.x && mouse.x < max.x && mouse.y >= min.y && mouse.y < max.y, here = dragged->photo.stage == stage;
    list.AddRectFilled(min, max, over ? t.raised : t.panel, 6);
    list.AddRect(min, max, over ? t.strong : t.line, 6, 0, over ? 3.0F : 1.0F);
    const std::string words = std::string(stage_name(stage)) + (here ? " (here now)" : "");
    ImFont* font = scene.fonts.strong;
    const ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, words.c_str());
    list.AddText(font, font->FontSize, ImVec2((min.x + max.x - size.x) / 2, (min.y + max.y - size.y) / 2), here ? t.quiet : t.text, words.c_str());
    scene.anchors.note(std::string("stage-field-") + stage_name(stage), min, max);
    if (let_go && over && !scene.drag_out.over_other()) put_in_stage(scene, dragged->photo, stage);
  }
  const float w = t.grid(22), h = w * 0.75F;
  scene.textures.draw_thumbnail(list, dragged->path, ImVec2(mouse.x - w / 2, mouse.y - h / 2), ImVec2(mouse.x + w / 2, mouse.y + h / 2));
  if (let_go || ImGui::IsKeyPressed(SDL_SCANCODE_ESCAPE)) state.dragged_photo = Id{};
}

}  // namespace

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
    const bool of_job = !photo->reference && !photo->made && scene.job();
    if (scene.drag_out.pulled(t.grid(3))) {
      scene.drag_out.begin({photo->path}, of_job);
      if (of_job) state.dragged_photo = row.photo;
    }
    const bool open_sheet = of_job && state.open_sheet_of == row.photo;
    if (open_sheet) {
      state.open_sheet_of = Id{};
      if (!visible) ImGui::SetScrollHereX();
    }
    if (of_job) draw_photo_sheet(scene, state, photo->photo, open_sheet, at);
    if (photo->reference && !photo->made && !scene.job()) draw_reference_sheet(scene, photo->photo);
    if (hovered && state.dragged_photo.empty() && !scene.drag_out.under_way()) {
      ImGui::BeginTooltip();
      text(scene, scene.fonts.small, t.text, photo->photo.file);
      quiet(scene, of_job ? "Pull it into another program: as taken, the camera's time and place may be in it" : "Pull it into another program");
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
      if (shown) inner.AddRect(ImVec2(at.x - 1, at.y - 1), ImVec2(at.x + picture_w + 1, at.y + height + 1), t.strong, 3, 0, t.line_px(2));
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
  if (rows.empty()) quiet(scene, "No photos yet: drop them on the window, or paste them.");
  const ImVec2 roll_min = ImGui::GetWindowPos();
  const float roll_width = ImGui::GetWindowWidth();
  ImGui::EndChild();
  ImGui::PopStyleVar();
  draw_stage_fields(scene, state, roll_min, roll_width);
}

}  // namespace boardlore
