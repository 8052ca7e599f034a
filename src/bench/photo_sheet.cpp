#include "bench/photo_sheet.h"

#include "bench/widgets.h"
#include "editing/mark_rules.h"

namespace boardlore {
namespace {

void put(const Scene& scene, Photo photo, const char* name) { scene.intents.commit(name, {PutPhoto{std::move(photo)}}); }

void draw_stage_choice(const Scene& scene, const Photo& photo) {
  quiet(scene, "Stage");
  for (const auto& [stage, name] : {std::pair{PhotoStage::intake, "intake"}, std::pair{PhotoStage::before, "before"},
                                    std::pair{PhotoStage::during, "during"}, std::pair{PhotoStage::after, "after"}}) {
    if (ImGui::RadioButton(name, photo.stage == stage)) {
      Photo changed = photo;
      changed.stage = stage;
      put(scene, std::move(changed), "change the stage of a photo");
    }
    scene.anchors.note(std::string("photo-stage-") + name);
    if (stage != PhotoStage::after) ImGui::SameLine();
  }
}

// The marks chosen and their actions belong together: the photo of a part's work is found with both.
void draw_link(const Scene& scene, const BenchState& state, const Photo& photo) {
  const MarkPtr mark = scene.layer().marks.find(state.shown);
  if (!mark) return quiet(scene, "Choose a mark to say that this photo shows it.");
  const bool linked = std::find(photo.linked.begin(), photo.linked.end(), mark->id) != photo.linked.end();
  if (!button(scene, "photo-link", linked ? "Does not show " + spoken_name(*mark) : "Shows " + spoken_name(*mark))) return;
  Photo changed = photo;
  std::vector<Id> together{mark->id};
  for (const Action& action : scene.job()->actions)
    if (action.mark == mark->id) together.push_back(action.id);
  for (const Id& id : together) std::erase(changed.linked, id);
  if (!linked) changed.linked.insert(changed.linked.end(), together.begin(), together.end());
  put(scene, std::move(changed), "link a photo");
}

void draw_look_in_record(const Scene& scene, const BenchState& state, const Photo& photo) {
  quiet(scene, "In the record only; the file stays as it is");
  if (button(scene, "photo-turn", "Turn by 90°")) {
    Photo changed = photo;
    changed.turn_deg = std::fmod(photo.turn_deg + 90, 360);
    put(scene, std::move(changed), "turn a photo in the record");
  }
  ImGui::SameLine();
  if (photo.crop_px) {
    if (!button(scene, "photo-crop", "Show it whole")) return;
    Photo changed = photo;
    changed.crop_px.reset();
    put(scene, std::move(changed), "show a photo whole");
    return;
  }
  const PaneState& pane = state.pane[state.pane_in_hand];
  const auto crop = pane.photo == photo.id ? crop_of_view(photo, pane.camera, ImVec2(pane.width, pane.height)) : std::nullopt;
  if (!button(scene, "photo-crop", "Cut to what is in view", false, 0, crop.has_value())) return;
  Photo changed = photo;
  changed.crop_px = crop;
  put(scene, std::move(changed), "cut a photo in the record");
}

}  // namespace

std::optional<std::array<double, 4>> crop_of_view(const Photo& photo, const Camera& camera, ImVec2 pane_size) {
  if (!(camera.zoom > 0) || pane_size.x < 1 || pane_size.y < 1) return std::nullopt;
  // The corners as they lie on the photo; for a turned view the box around them.
  const ScreenFromPhoto view = screen_from_photo(camera, ImVec2(pane_size.x / 2, pane_size.y / 2));
  double left = photo.width_px, top = photo.height_px, right = 0, bottom = 0;
  for (const ScreenPoint corner : {ScreenPoint{0, 0}, ScreenPoint{pane_size.x, 0}, ScreenPoint{0, pane_size.y}, ScreenPoint{pane_size.x, pane_size.y}}) {
    const PhotoPoint p = view.photo_from_screen(corner);
    left = std::min(left, p.x_px), top = std::min(top, p.y_px), right = std::max(right, p.x_px), bottom = std::max(bottom, p.y_px);
  }
  left = std::max(0.0, std::floor(left)), top = std::max(0.0, std::floor(top));
  right = std::min<double>(photo.width_px, std::ceil(right)), bottom = std::min<double>(photo.height_px, std::ceil(bottom));
  if (right - left < 1 || bottom - top < 1) return std::nullopt;
  if (left == 0 && top == 0 && right == photo.width_px && bottom == photo.height_px) return std::nullopt;
  return std::array{left, top, right - left, bottom - top};
}

void draw_photo_sheet(const Scene& scene, BenchState& state, const Photo& photo) {
  ImGui::OpenPopupOnItemClick("photo-sheet", ImGuiPopupFlags_MouseButtonRight);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(scene.theme.grid(2), scene.theme.grid(2)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(scene.theme.grid(4), scene.theme.grid(4)));
  ImGui::PushStyleColor(ImGuiCol_PopupBg, scene.theme.panel);  // fields and choices stand out from it
  if (ImGui::BeginPopup("photo-sheet")) {
    if (ImGui::IsWindowAppearing()) state.photo_note = photo.note;
    text(scene, scene.fonts.strong, scene.theme.text, photo.file);
    draw_stage_choice(scene, photo);
    if (captioned_field(scene, "photo-note", "Note", "what it shows", state.photo_note, scene.theme.grid(80)) && state.photo_note != photo.note) {
      Photo changed = photo;
      changed.note = state.photo_note;
      put(scene, std::move(changed), "note on a photo");
    }
    draw_link(scene, state, photo);
    draw_look_in_record(scene, state, photo);
    ImGui::EndPopup();
  }
  ImGui::PopStyleColor();
  ImGui::PopStyleVar(2);
}

void draw_watch_rows(const Scene& scene, BenchState& state) {
  text(scene, scene.fonts.strong, scene.theme.text, "Camera's folder");
  if (state.watched.empty()) {
    captioned_field(scene, "watch-folder", "Pictures saved here come in by themselves", "folder", state.watch_words);
    if (button(scene, "watch", "Watch it", false, 0, !state.watch_words.empty())) scene.intents.push(intent::Watch{state.watch_words});
    return;
  }
  quiet_wrapped(scene, "Watching " + state.watched.string());
  if (button(scene, "watch-stop", "No longer")) scene.intents.push(intent::Watch{});
}

}  // namespace boardlore
