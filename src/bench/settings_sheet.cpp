#include "bench/settings_sheet.h"

#include "bench/command_table.h"
#include "bench/widgets.h"
#include "exchange/meter_link.h"
#include "storage/user_folders.h"

namespace boardlore {
namespace {

void row(const Scene& scene, const char* name, const std::string& words, const std::string& detail, bool& value) {
  const Theme& t = scene.theme;
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float width = ImGui::GetContentRegionAvail().x, high = t.grid(10);
  if (ImGui::InvisibleButton(name, ImVec2(width, high))) value = !value;
  scene.anchors.note(name);
  ImDrawList& list = *ImGui::GetWindowDrawList();
  if (ImGui::IsItemHovered()) list.AddRectFilled(at, ImVec2(at.x + width, at.y + high), t.hover, 4 * t.scale);
  // A box with a tick, not a colour alone.
  const ImVec2 box(at.x + t.grid(1), at.y + t.grid(2.5F)), box_end(box.x + t.grid(5), box.y + t.grid(5));
  list.AddRect(box, box_end, t.text, 2 * t.scale, 0, 1.5F * t.scale);
  if (value) {
    list.AddRectFilled(box, box_end, t.strong, 2 * t.scale);
    ImFont* small = scene.fonts.small;
    const ImVec2 wide = small->CalcTextSizeA(small->FontSize, FLT_MAX, 0, symbol::check);
    list.AddText(small, small->FontSize, ImVec2((box.x + box_end.x - wide.x) / 2, (box.y + box_end.y - wide.y) / 2), t.on_strong, symbol::check);
  }
  list.AddText(scene.fonts.body, scene.fonts.body->FontSize, ImVec2(at.x + t.grid(9), at.y + t.grid(0.75F)), t.text, words.c_str());
  list.AddText(scene.fonts.small, scene.fonts.small->FontSize, ImVec2(at.x + t.grid(9), at.y + t.grid(5.25F)), t.quiet,
               shortened(scene.fonts.small, detail, width - t.grid(10)).c_str());
}

}  // namespace

void draw_settings_sheet(const Scene& scene, BenchState& state, Settings& settings, ImVec2 window) {
  const Theme& t = scene.theme;
  if (!state.settings_typed) state.settings_typed = BenchState::SettingsTyped{settings.meter, settings.camera, false};
  BenchState::SettingsTyped& typed = *state.settings_typed;
  typed.mending = scene.faults.find("set-meter") || scene.faults.find("set-camera");
  const float width = std::min(t.grid(120), window.x - t.grid(8));
  ImGui::SetNextWindowPos(ImVec2(window.x / 2, window.y / 2), 0, ImVec2(0.5F, 0.5F));
  ImGui::SetNextWindowSizeConstraints(ImVec2(width, 0), ImVec2(width, window.y - t.grid(8)));
  ImGui::PushStyleColor(ImGuiCol_WindowBg, t.panel);
  ImGui::PushStyleColor(ImGuiCol_Border, t.quiet);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 8 * t.scale);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(6), t.grid(5)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(t.grid(2), t.grid(1)));
  ImGui::Begin("settings", nullptr, ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_AlwaysAutoResize | ImGuiWindowFlags_NoSavedSettings);
  heading(scene, "Settings");
  ImGui::SameLine();
  quiet(scene, "   " + key_words(Command::settings) + " or Esc closes");
  ImGui::Dummy(ImVec2(0, t.grid(1)));
  for (const auto& [name, words, theme] : {std::tuple{"set-dark", "Dark", ThemeName::dark}, std::tuple{"set-light", "Light", ThemeName::light},
                                           std::tuple{"set-high-contrast", "High contrast", ThemeName::high_contrast}}) {
    if (choice(scene, name, words, settings.theme == theme, t.grid(34))) settings.theme = theme;
    ImGui::SameLine();
  }
  ImGui::NewLine();
  row(scene, "set-big-targets", "Big targets", "type and buttons a quarter larger, for gloves and touch", settings.big_targets);
  row(scene, "set-flash", "Flash on a reading out of limits", "the window's edge lights up once", settings.flash);
  row(scene, "set-sound", "Sound on a reading out of limits", "two short tones", settings.sound);
  row(scene, "set-small-map", "Small map while zoomed in", "in the photo's upper right corner", settings.small_map);
  row(scene, "set-turns-over-level", "The board is turned over top to bottom", "else left to right, when the other side is shown", settings.turns_over_level);
  ImGui::Dummy(ImVec2(0, t.grid(1)));
  const bool meter = captioned_field(scene, "set-meter", ("Bench meter (SCPI), read with " + key_words(Command::meter_reading)).c_str(), "tcp:HOST:PORT or serial:/dev/ttyUSB0", typed.meter);
  if (meter && !typed.meter.empty() && !parse_meter_address(typed.meter))
    scene.faults.refuse("set-meter", typed.meter, "Expected tcp:HOST:PORT, as tcp:192.168.1.20:5025, or serial:DEVICE, as serial:/dev/ttyUSB0@9600.", settings.meter);
  else if (meter) settings.meter = typed.meter;
  const bool camera = captioned_field(scene, "set-camera", ("Command that takes a photo into the file %f, run with " + key_words(Command::take_photo)).c_str(), "name of a program, its options, %f", typed.camera);
  if (camera && !typed.camera.empty() && typed.camera.find("%f") == std::string::npos)
    scene.faults.refuse("set-camera", typed.camera, "Expected a command with %f where the photo's file goes.", settings.camera);
  else if (camera) settings.camera = typed.camera;
  quiet_wrapped(scene, "Kept in " + config_file("settings").string() + ". Own keys: " + config_file("keys").string() + "; `boardlore keys` lists the names.");
  ImGui::End();
  ImGui::PopStyleVar(4);
  ImGui::PopStyleColor(2);
}

}  // namespace boardlore
