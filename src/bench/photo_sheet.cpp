#include "bench/photo_sheet.h"

#include "bench/command_table.h"
#include "bench/widgets.h"
#include "editing/mark_rules.h"

namespace boardlore {
namespace {

void put(const Scene& scene, Photo photo, const char* name) { scene.intents.commit(name, {PutPhoto{std::move(photo)}}); }

void draw_stage_choice(const Scene& scene, const Photo& photo) {
  quiet(scene, "Stage (or drag the photo out of the roll)");
  for (const PhotoStage stage : photo_stages) {
    if (choice(scene, (std::string("photo-stage-") + stage_name(stage)).c_str(), stage_name(stage), photo.stage == stage)) put_in_stage(scene, photo, stage);
    if (stage != PhotoStage::after) ImGui::SameLine();
  }
}

bool is_linked(const Photo& photo, const Id& to) { return std::find(photo.linked.begin(), photo.linked.end(), to) != photo.linked.end(); }

void link(const Scene& scene, const Photo& photo, const std::vector<Id>& together, bool on) {
  Photo changed = photo;
  for (const Id& id : together) std::erase(changed.linked, id);
  if (on) changed.linked.insert(changed.linked.end(), together.begin(), together.end());
  put(scene, std::move(changed), "link a photo");
}

// The mark and its actions belong together: the photo of a part's work is found with both.
std::vector<Id> mark_and_actions(const Scene& scene, const Id& mark) {
  std::vector<Id> together{mark};
  for (const Action& action : scene.job()->actions)
    if (action.mark == mark) together.push_back(action.id);
  return together;
}

void draw_link(const Scene& scene, const BenchState& state, const Photo& photo) {
  const MarkPtr mark = scene.layer().marks.find(state.shown);
  if (!mark) return quiet(scene, "Choose a mark to say that this photo shows it.");
  const bool linked = is_linked(photo, mark->id);
  if (button(scene, "photo-link", linked ? "Does not show " + spoken_name(*mark) : "Shows " + spoken_name(*mark)))
    link(scene, photo, mark_and_actions(scene, mark->id), !linked);
  tooltip(scene, "Of the photo in view", key_words(Command::link_photo));
  // One action of several may be what it shows.
  const auto& actions = scene.job()->actions;
  if (std::count_if(actions.begin(), actions.end(), [&](const Action& action) { return action.mark == mark->id; }) < 2) return;
  int number = 0;
  for (const Action& action : actions) {
    if (action.mark != mark->id) continue;
    bool on = is_linked(photo, action.id);
    ++number;
    if (tick_box(scene, ("photo-action-" + std::to_string(number)).c_str(), std::to_string(number) + ". " + action.what, on)) link(scene, photo, {action.id}, on);
  }
}

void turn(const Scene& scene, const Photo& photo) {
  Photo changed = photo;
  changed.turn_deg = std::fmod(photo.turn_deg + 90, 360);
  put(scene, std::move(changed), "turn a photo in the record");
}

std::optional<std::array<double, 4>> crop_in_view(const BenchState& state, const Photo& photo) {
  const PaneState& pane = state.pane[state.pane_in_hand];
  return pane.photo == photo.id ? crop_of_view(photo, pane.camera, ImVec2(pane.width, pane.height)) : std::nullopt;
}

void crop(const Scene& scene, const Photo& photo, const std::optional<std::array<double, 4>>& to) {
  Photo changed = photo;
  changed.crop_px = to;
  put(scene, std::move(changed), to ? "cut a photo in the record" : "show a photo whole");
}

void draw_look_in_record(const Scene& scene, const BenchState& state, const Photo& photo) {
  char turned[48] = "not turned";
  if (photo.turn_deg != 0) std::snprintf(turned, sizeof turned, "turned by %.0f°", photo.turn_deg);
  quiet(scene, std::string("In the record: ") + turned + (photo.crop_px ? ", cut" : ", whole") + ". The file stays as it is.");
  if (button(scene, "photo-turn", "Turn by 90°")) turn(scene, photo);
  tooltip(scene, "Of the photo in view", key_words(Command::turn_photo));
  ImGui::SameLine();
  if (photo.crop_px) {
    if (button(scene, "photo-crop", "Show it whole")) crop(scene, photo, std::nullopt);
    return;
  }
  const auto in_view = crop_in_view(state, photo);
  if (button(scene, "photo-crop", "Cut to what is in view", false, 0, in_view.has_value())) crop(scene, photo, in_view);
  tooltip(scene, in_view ? "Of the photo in view" : "Go closer to this photo first", key_words(Command::crop_photo));
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

const char* stage_name(PhotoStage stage) {
  constexpr const char* names[] = {"intake", "before", "during", "after"};
  return names[static_cast<std::size_t>(stage)];
}

void put_in_stage(const Scene& scene, const Photo& photo, PhotoStage stage) {
  if (photo.stage == stage) return;
  Photo changed = photo;
  changed.stage = stage;
  put(scene, std::move(changed), "change the stage of a photo");
}

void use_photo_keys(const Scene& scene, BenchState& state) {
  const DeskPhoto* entry = scene.desk.find_photo(state.pane[state.pane_in_hand].photo);
  // Of a board's photo nothing is told but what of it must not be seen.
  if (entry && entry->reference && !entry->made && !scene.job() && pressed(Command::photo_sheet)) return scene.intents.push(intent::CoverRegion{entry->photo.id});
  if (!entry || entry->reference || entry->made || !scene.job()) return;
  const Photo& photo = entry->photo;
  if (pressed(Command::photo_sheet)) state.open_sheet_of = photo.id, state.roll_folded = false;
  const int stage = photo.stage ? static_cast<int>(*photo.stage) : -1;
  if (pressed(Command::stage_later) && stage < 3) put_in_stage(scene, photo, photo_stages[stage + 1]);
  if (pressed(Command::stage_earlier) && stage > 0) put_in_stage(scene, photo, photo_stages[stage - 1]);
  if (pressed(Command::turn_photo)) turn(scene, photo);
  if (pressed(Command::crop_photo)) {
    const auto in_view = crop_in_view(state, photo);
    if (photo.crop_px) crop(scene, photo, std::nullopt);
    else if (in_view) crop(scene, photo, in_view);
    else scene.intents.push(intent::Say{"Go closer first: the photo is cut to what is in view.", false});
  }
  if (pressed(Command::link_photo)) {
    const MarkPtr mark = scene.layer().marks.find(state.shown);
    if (mark) link(scene, photo, mark_and_actions(scene, mark->id), !is_linked(photo, mark->id));
    else scene.intents.push(intent::Say{"Choose a mark to say that this photo shows it.", false});
  }
}

void draw_photo_sheet(const Scene& scene, BenchState& state, const Photo& photo, bool open, ImVec2 item_min) {
  ImGui::OpenPopupOnItemClick("photo-sheet", ImGuiPopupFlags_MouseButtonRight);
  if (open) {
    ImGui::OpenPopup("photo-sheet");
    ImGui::SetNextWindowPos(ImVec2(item_min.x, item_min.y - scene.theme.grid(1)), ImGuiCond_Appearing, ImVec2(0, 1));
  }
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(scene.theme.grid(2), scene.theme.grid(2)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(scene.theme.grid(4), scene.theme.grid(4)));
  ImGui::PushStyleColor(ImGuiCol_PopupBg, scene.theme.panel);  // fields and choices stand out from it
  if (ImGui::BeginPopup("photo-sheet")) {
    if (ImGui::IsWindowAppearing()) state.photo_note = photo.note;
    text(scene, scene.fonts.strong, scene.theme.text, photo.file);
    draw_stage_choice(scene, photo);
    if (open) ImGui::SetKeyboardFocusHere();
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

void draw_reference_sheet(const Scene& scene, const Photo& photo) {
  ImGui::OpenPopupOnItemClick("reference-sheet", ImGuiPopupFlags_MouseButtonRight);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(scene.theme.grid(2), scene.theme.grid(2)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(scene.theme.grid(4), scene.theme.grid(4)));
  ImGui::PushStyleColor(ImGuiCol_PopupBg, scene.theme.panel);
  if (ImGui::BeginPopup("reference-sheet")) {
    text(scene, scene.fonts.strong, scene.theme.text, photo.file);
    quiet(scene, "A serial number or a name in it goes to every shop that gets the layer.");
    if (button(scene, "cover-region", "Cover a region")) {
      scene.intents.push(intent::CoverRegion{photo.id});
      ImGui::CloseCurrentPopup();
    }
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
