#include "bench/made_view.h"

#include <cstdio>

#include "bench/command_table.h"
#include "bench/widgets.h"

namespace boardlore {
namespace {

std::string blink_words(const BenchState& state) {
  char words[64];
  std::snprintf(words, sizeof words, "Blink: each photo for %.1f s", state.blink_half_s);
  return words;
}

bool row(const Scene& scene, const char* name, const std::string& words, Command command, bool on) {
  const bool chosen = ImGui::MenuItem((words + "   ").c_str(), key_words(command).c_str(), on);
  scene.anchors.note(name);
  return chosen;
}

void toggle_sharpness(const Scene& scene, BenchState& state) {
  if (state.sharpness_shown) state.sharpness_shown = false;
  else scene.intents.push(intent::SeeSharpness{state.pane[0].photo});
}

}  // namespace

void next_blink_rate(const Scene& scene, BenchState& state) {
  state.blink_half_s = state.blink_half_s < 0.75 ? 1.0 : state.blink_half_s < 1.5 ? 2.0 : 0.5;
  scene.intents.push(intent::Say{blink_words(state) + ".", false});
}

void draw_made_menu(const Scene& scene, BenchState& state) {
  if (symbol_button(scene, "made-menu", symbol::layers, "Square-on, joined, sharpness, read names", state.sharpness_shown)) ImGui::OpenPopup("made-menu");
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(scene.theme.grid(3), scene.theme.grid(3)));
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(scene.theme.grid(3), scene.theme.grid(2.5F)));
  if (ImGui::BeginPopup("made-menu")) {
    ImGui::PushFont(scene.fonts.body);
    const Id photo = state.pane[0].photo;
    if (row(scene, "see-square-on", row_of(Command::square_on).words, Command::square_on, false)) scene.intents.push(intent::SeeSquareOn{photo});
    if (row(scene, "see-joined", row_of(Command::join_photos).words, Command::join_photos, false)) scene.intents.push(intent::SeeJoined{});
    if (row(scene, "see-sharpness", row_of(Command::sharpness).words, Command::sharpness, state.sharpness_shown)) toggle_sharpness(scene, state);
    if (row(scene, "read-print", row_of(Command::read_print).words, Command::read_print, false)) scene.intents.push(intent::ReadPrint{photo});
    if (row(scene, "blink-rate", blink_words(state), Command::blink_rate, false)) next_blink_rate(scene, state);
    ImGui::PopFont();
    ImGui::EndPopup();
  }
  ImGui::PopStyleVar(2);
}

void use_made_keys(const Scene& scene, BenchState& state) {
  if (pressed(Command::square_on)) scene.intents.push(intent::SeeSquareOn{state.pane[0].photo});
  if (pressed(Command::join_photos)) scene.intents.push(intent::SeeJoined{});
  if (pressed(Command::sharpness)) toggle_sharpness(scene, state);
  if (pressed(Command::read_print)) scene.intents.push(intent::ReadPrint{state.pane[0].photo});
  if (pressed(Command::blink_rate)) next_blink_rate(scene, state);
}

void draw_sharpness(const Scene& scene, const BenchState& state, const PaneLook& look) {
  if (!state.sharpness_shown || state.panes == Panes::difference || !look.photo) return;
  const PictureMaker::Sharpness* map = scene.maker.sharpness_of(look.photo->photo.id);
  if (!map) return;
  const unsigned gl = scene.textures.picture(map->tint);
  const double right = double(map->columns) * map->cell_px, low = double(map->rows) * map->cell_px;
  look.list->AddImageQuad(reinterpret_cast<ImTextureID>(static_cast<std::intptr_t>(gl)), look.to_screen(PhotoPoint{0, 0}), look.to_screen(PhotoPoint{right, 0}),
                          look.to_screen(PhotoPoint{right, low}), look.to_screen(PhotoPoint{0, low}));
}

}  // namespace boardlore
