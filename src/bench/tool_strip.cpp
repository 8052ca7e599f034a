#include "bench/tool_strip.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "bench/command_table.h"
#include "bench/fiducials_view.h"
#include "bench/made_view.h"
#include "bench/placing.h"
#include "bench/side_by_side.h"
#include "bench/widgets.h"
#include "geometry/pins.h"

namespace boardlore {
namespace {

// A tool: the shape of what it places, its name where there is room, its key in the tooltip.
void tool(const Scene& scene, BenchState& state, Tool which, Command command, const char* words, bool roomy) {
  const Theme& t = scene.theme;
  const bool on = state.tool == which && !state.registering.on;
  ImFont* font = scene.fonts.small;
  const float words_w = roomy ? font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, words).x + t.grid(2) : 0;
  const ImVec2 at = ImGui::GetCursorScreenPos(), size(t.grid(8) + words_w, t.grid(8));
  const std::string name = std::string("tool-") + words;
  if (ImGui::InvisibleButton(name.c_str(), size)) {
    state.registering.on = false;
    choose_tool(state, on ? Tool::select : which);
  }
  const bool hovered = ImGui::IsItemHovered();
  scene.anchors.note(name);
  tooltip(scene, row_of(command).words, key_words(command));
  ImDrawList& list = *ImGui::GetWindowDrawList();
  if (on || hovered) list.AddRectFilled(at, ImVec2(at.x + size.x, at.y + size.y), on ? t.strong : t.hover, 4 * t.scale);
  const ImVec2 middle(at.x + t.grid(4), at.y + t.grid(4));
  Theme ink = t;
  if (on) ink = make_theme(t.name == ThemeName::dark ? ThemeName::light : ThemeName::dark, t.scale);
  switch (which) {
    case Tool::select: {
      const ImU32 c = on ? t.on_strong : t.text;
      const float r = t.grid(2);
      list.AddTriangleFilled(ImVec2(middle.x - r * 0.6F, middle.y - r), ImVec2(middle.x + r * 0.9F, middle.y + r * 0.4F), ImVec2(middle.x - r * 0.6F, middle.y + r), c);
      break;
    }
    case Tool::part: draw_kind_shape(list, ink, MarkKind::part, middle, t.grid(4)); break;
    case Tool::package:
      draw_kind_shape(list, ink, MarkKind::part, middle, t.grid(3));
      for (const float dx : {-1.F, 0.F, 1.F})
        for (const float dy : {-1.F, 1.F})
          list.AddCircleFilled(ImVec2(middle.x + dx * t.grid(1.25F), middle.y + dy * t.grid(2)), 1.5F * t.scale, ink.kind(MarkKind::part));
      break;
    case Tool::keepout: draw_kind_shape(list, ink, MarkKind::keepout, middle, t.grid(4)); break;
    case Tool::circle:
      list.AddCircle(middle, t.grid(1.75F), ink.kind(MarkKind::keepout), 0, t.line_px(2));
      list.AddLine(ImVec2(middle.x - t.grid(0.75F), middle.y + t.grid(0.75F)), ImVec2(middle.x + t.grid(0.75F), middle.y - t.grid(0.75F)), ink.kind(MarkKind::keepout), t.line_px(2));
      break;
    case Tool::probe: draw_kind_shape(list, ink, MarkKind::probe, middle, t.grid(4)); break;
    case Tool::note: draw_kind_shape(list, ink, MarkKind::note, middle, t.grid(4)); break;
  }
  if (roomy)
    list.AddText(font, font->FontSize, ImVec2(at.x + t.grid(7.5F), middle.y - font->FontSize / 2), on ? t.on_strong : t.text, words);
  ImGui::SameLine(0, t.grid(0.5F));
}

// Tools and looks need this width to stand in one row.
constexpr float one_row_grid = 188;

}  // namespace

float tool_strip_height(const Theme& t, float width) { return t.grid(width < t.grid(one_row_grid) ? 19.5F : 11); }

void draw_tool_strip(const Scene& scene, BenchState& state) {
  const Theme& t = scene.theme;
  const float width = ImGui::GetContentRegionAvail().x, left = ImGui::GetCursorPosX(), y = ImGui::GetCursorPosY();
  const bool roomy = width > t.grid(235);
  tool(scene, state, Tool::select, Command::select_tool, "Select", roomy);
  tool(scene, state, Tool::part, Command::part_tool, "Part", roomy);
  tool(scene, state, Tool::package, Command::package_tool, "Package", roomy);
  tool(scene, state, Tool::keepout, Command::keepout_tool, "Keep-out", roomy);
  tool(scene, state, Tool::circle, Command::circle_tool, "Circle", roomy);
  tool(scene, state, Tool::probe, Command::probe_tool, "Probe", roomy);
  tool(scene, state, Tool::note, Command::note_tool, "Note", roomy);
  // The other end: how the photo is looked at.
  const DeskPhoto* photo = scene.desk.find_photo(state.pane[0].photo);
  const std::string side = photo ? photo->photo.side == Side::top ? "Top" : "Bottom" : "";
  const bool one_row = width + t.grid(4) >= t.grid(one_row_grid);  // the panel's padding
  const float side_w = photo ? t.grid(one_row ? 22 : 19) : 0, register_w = photo ? t.grid(one_row ? 26 : 19) : 0;
  const float right = 8 * t.grid(8.5F) + side_w + register_w + t.grid(one_row ? 4 : 1);
  if (one_row) ImGui::SetCursorPos(ImVec2(std::max(ImGui::GetCursorPosX(), left + width - right), y));
  else ImGui::SetCursorPos(ImVec2(left, y + t.grid(8.5F)));
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(t.grid(0.5F), 0));
  ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, ImVec2(t.grid(2), t.grid(2)));
  if (photo) {
    ImGui::PushFont(scene.fonts.small);
    ImGui::PopFont();
    if (button(scene, "register", "Register", state.registering.on || !photo->photo.registration, register_w)) {
      if (state.registering.on) state.registering.on = false;
      else start_registering(scene, state, *photo);
    }
    tooltip(scene, "Say where fiducials lie on this photo", key_words(Command::register_photo));
    ImGui::SameLine();
    if (button(scene, "side", std::string(symbol::flip) + "  " + side, false, side_w)) {
      const Id other = photo_for_side(scene.desk, Id{}, photo->photo.side == Side::top ? Side::bottom : Side::top);
      if (!other.empty()) scene.intents.push(intent::ShowPhoto{other});
    }
    tooltip(scene, row_of(Command::other_side).words, key_words(Command::other_side));
    ImGui::SameLine();
  }
  ImGui::PopStyleVar();
  PaneState& pane = state.pane[state.pane_in_hand];
  if (symbol_button(scene, "turn-view", symbol::turn, "Turn the view  .")) turn_quarter(pane.camera, 1);
  ImGui::SameLine();
  if (symbol_button(scene, "fit", symbol::fit, "Whole photo  F")) pane.camera.zoom = 0;
  ImGui::SameLine();
  if (symbol_button(scene, "loupe", symbol::search, "Loupe  L", state.loupe == LoupeMode::always))
    state.loupe = state.loupe == LoupeMode::always ? LoupeMode::while_placing : LoupeMode::always;
  ImGui::SameLine();
  if (symbol_button(scene, "two-photos", symbol::columns, "Two photos side by side  2", state.panes == Panes::side_by_side))
    choose_panes(scene, state, Panes::side_by_side);
  ImGui::SameLine();
  if (symbol_button(scene, "wipe", symbol::wipe, "Wipe between two photos  W", state.panes == Panes::wipe))
    choose_panes(scene, state, Panes::wipe);
  ImGui::SameLine();
  if (symbol_button(scene, "blink", symbol::blink, "Blink between two photos  B", state.panes == Panes::blink))
    choose_panes(scene, state, Panes::blink);
  ImGui::SameLine();
  if (symbol_button(scene, "difference", symbol::difference, "What differs between two photos  X", state.panes == Panes::difference))
    scene.intents.push(intent::SeeDifference{});
  ImGui::SameLine();
  draw_made_menu(scene, state);
  ImGui::PopStyleVar();
}

std::string pin_words(const Scene& scene, const BenchState& state, const PaneLook& look) {
  if (!look.hovered || !look.cursor_board || !look.photo) return {};
  // Leads reach a little past the outline, and a keep-out may lie over them: the part on the card is asked first.
  for (const MarkPtr& mark : {scene.layer().marks.find(state.shown), look.mark_under}) {
    if (!mark || !mark->package || mark->refdes.empty() || mark->side != look.photo->photo.side) continue;
    const auto pins = pins_of(*mark);
    if (!pins || pins->empty()) continue;
    const auto nearest = nearest_pin(*pins, *look.cursor_board);
    const double reach_mm = std::max(mark->package->pitch_mm, 0.5);
    if (nearest && distance_mm((*pins)[*nearest].at, *look.cursor_board) <= reach_mm) return mark->refdes + "." + (*pins)[*nearest].name;
  }
  return look.mark_under ? look.mark_under->refdes : std::string();
}

std::string place_words(const PaneLook& look) {
  char words[96];
  if (!look.hovered) return {};
  if (look.cursor_board)
    // + 0.0 after rounding: no "-0.00".
    std::snprintf(words, sizeof words, "x %.2f  y %.2f mm  ± %.2f", std::round(look.cursor_board->x_mm * 100) / 100 + 0.0, std::round(look.cursor_board->y_mm * 100) / 100 + 0.0, look.map->error_mm(*look.cursor_board));
  else
    std::snprintf(words, sizeof words, "x %.0f  y %.0f px", look.cursor.x_px, look.cursor.y_px);
  return words;
}

void draw_status(const Scene& scene, const BenchState& state, const PaneLook& look, const std::string& hint) {
  const Theme& t = scene.theme;
  const float width = ImGui::GetContentRegionAvail().x, left = ImGui::GetCursorPosX();
  ImGui::SetCursorPosY(ImGui::GetCursorPosY() + t.grid(0.5F));
  ImFont* small = scene.fonts.small;
  std::string right;
  if (look.photo) {
    char words[96];
    const Camera& camera = state.pane[look.index].camera;
    std::snprintf(words, sizeof words, "%.0f %%", camera.zoom * 100);
    right = words;
    if (const PhotoMap* map = look.map) {
      // With no point to spare the residual is 0 and says nothing; how many points there were does.
      const Registration& fit = map->registration();
      const char* used = look.photo->photo.registration ? "registered" : "not used yet";
      if (fit.leave_one_out_mm) std::snprintf(words, sizeof words, "%s, rms %.2f mm     ", used, fit.rms_mm);
      else std::snprintf(words, sizeof words, "%s, %zu points, none to spare     ", used, fit.fiducials.size());
      right = words + right;
    } else {
      right = "not registered     " + right;
    }
  }
  const float right_w = small->CalcTextSizeA(small->FontSize, FLT_MAX, 0, right.c_str()).x;
  const std::string pin = pin_words(scene, state, look), place = (pin.empty() ? "" : pin + "   ") + place_words(look);
  // The hint has what the place leaves: a pin's name is there only under the cursor.
  const float place_w = std::max(t.grid(48), small->CalcTextSizeA(small->FontSize, FLT_MAX, 0, place.c_str()).x);
  text(scene, small, t.text, shortened(small, hint, width - right_w - place_w - t.grid(8)));
  ImGui::SameLine(left + width - right_w - place_w - t.grid(4));
  text(scene, small, t.text, place);
  if (!pin.empty()) scene.anchors.note("at-" + pin);
  ImGui::SameLine(left + width - right_w);
  text(scene, small, t.quiet, right);
}

}  // namespace boardlore
