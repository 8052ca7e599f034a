#include "bench/widgets.h"

#include <imgui_internal.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <cctype>
#include <utility>

namespace boardlore {

void begin_panel(const Scene&, const char* name, ImVec2 at, ImVec2 size, ImU32 ground) {
  ImGui::SetNextWindowPos(at);
  ImGui::SetNextWindowSize(size);
  ImGui::PushStyleColor(ImGuiCol_WindowBg, ground);
  ImGui::Begin(name, nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                   ImGuiWindowFlags_NoBringToFrontOnFocus | ImGuiWindowFlags_NoNav);
}

void end_panel() {
  ImGui::End();
  ImGui::PopStyleColor();
}

void text(const Scene&, ImFont* font, ImU32 colour, const std::string& words) {
  ImGui::PushFont(font);
  ImGui::PushStyleColor(ImGuiCol_Text, colour);
  ImGui::TextUnformatted(words.c_str(), words.c_str() + words.size());
  ImGui::PopStyleColor();
  ImGui::PopFont();
}

void quiet(const Scene& scene, const std::string& words) { text(scene, scene.fonts.small, scene.theme.quiet, words); }

void quiet_wrapped(const Scene& scene, const std::string& words) {
  ImGui::PushTextWrapPos(0);
  quiet(scene, words);
  ImGui::PopTextWrapPos();
}

void heading(const Scene& scene, const std::string& words) {
  text(scene, scene.fonts.heading, scene.theme.text, words);
}

std::string shortened(ImFont* font, const std::string& words, float width) {
  const auto wide = [&](const std::string& s) {
    return font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, s.c_str(), s.c_str() + s.size()).x;
  };
  if (wide(words) <= width) return words;
  std::string cut = words;
  while (!cut.empty() && wide(cut + "…") > width) {
    cut.pop_back();
    while (!cut.empty() && (static_cast<unsigned char>(cut.back()) & 0xC0U) == 0x80U) cut.pop_back();
    if (!cut.empty() && static_cast<unsigned char>(cut.back()) >= 0xC0U) cut.pop_back();
  }
  return cut + "…";
}

std::string as_sentence(std::string words) {
  if (words.empty()) return words;
  words.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(words.front())));
  if (words.back() != '.') words += '.';
  return words;
}

std::string shortened_left(ImFont* font, const std::string& words, float width) {
  const auto wide = [&](const char* s) { return font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, s, words.c_str() + words.size()).x; };
  const char* from = words.c_str();
  if (wide(from) <= width) return words;
  const float dots = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, "…").x;
  while (*from && wide(from) + dots > width)
    do ++from;
    while ((static_cast<unsigned char>(*from) & 0xC0U) == 0x80U);
  return std::string("…") + from;
}

bool button(const Scene& scene, const char* name, const std::string& words, bool primary, float width, bool enabled) {
  const Theme& t = scene.theme;
  if (primary) {
    ImGui::PushStyleColor(ImGuiCol_Button, t.strong);
    ImGui::PushStyleColor(ImGuiCol_ButtonHovered, t.text);
    ImGui::PushStyleColor(ImGuiCol_ButtonActive, t.quiet);
    ImGui::PushStyleColor(ImGuiCol_Text, t.on_strong);
  }
  ImGui::PushFont(primary ? scene.fonts.strong : scene.fonts.body);
  ImGui::BeginDisabled(!enabled);
  const bool clicked = ImGui::Button((words + "##" + name).c_str(), ImVec2(width, 0));
  ImGui::EndDisabled();
  ImGui::PopFont();
  if (primary) ImGui::PopStyleColor(4);
  scene.anchors.note(name);
  return clicked;
}

bool choice(const Scene& scene, const char* name, const std::string& words, bool chosen, float width) {
  const Theme& t = scene.theme;
  ImGui::PushStyleColor(ImGuiCol_Border, chosen ? t.text : t.line);
  ImGui::PushStyleColor(ImGuiCol_Text, chosen ? t.text : t.quiet);
  ImGui::PushStyleVar(ImGuiStyleVar_FrameBorderSize, t.line_px(chosen ? 2 : 1));
  ImGui::PushFont(chosen ? scene.fonts.strong : scene.fonts.body);
  const bool clicked = ImGui::Button((words + "##" + name).c_str(), ImVec2(width, 0));
  ImGui::PopFont();
  ImGui::PopStyleVar();
  ImGui::PopStyleColor(2);
  scene.anchors.note(name);
  return clicked;
}

bool tick_box(const Scene& scene, const char* name, const std::string& words, bool& on) {
  ImGui::PushStyleColor(ImGuiCol_Border, scene.theme.quiet);
  ImGui::PushStyleVar(ImGuiStyleVar_FrameBorderSize, 1.5F * scene.theme.scale);
  const bool clicked = ImGui::Checkbox((words + "##" + name).c_str(), &on);
  ImGui::PopStyleVar();
  ImGui::PopStyleColor();
  scene.anchors.note(name);
  return clicked;
}

bool symbol_button(const Scene& scene, const char* name, const char* symbol, const std::string& tip, bool on,
                   bool enabled) {
  const Theme& t = scene.theme;
  const float size = t.grid(8);
  ImGui::PushStyleColor(ImGuiCol_Button, on ? t.strong : 0);
  ImGui::PushStyleColor(ImGuiCol_ButtonHovered, on ? t.text : t.hover);
  ImGui::PushStyleColor(ImGuiCol_Text, on ? t.on_strong : t.text);
  ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, ImVec2(0, 0));
  ImGui::BeginDisabled(!enabled);
  const bool clicked = ImGui::Button((std::string(symbol) + "##" + name).c_str(), ImVec2(size, size));
  ImGui::EndDisabled();
  ImGui::PopStyleVar();
  ImGui::PopStyleColor(3);
  scene.anchors.note(name);
  tooltip(scene, tip);
  return clicked;
}

namespace {

bool bare_field(const Scene& scene, const char* name, const char* hint, std::string& words, bool large) {
  if (large) ImGui::PushFont(scene.fonts.value);
  ImGui::InputTextWithHint((std::string("##") + name).c_str(), hint, &words);
  if (large) ImGui::PopFont();
  scene.anchors.note(name);
  return ImGui::IsItemDeactivatedAfterEdit();
}

}  // namespace

bool field(const Scene& scene, const char* name, const char* hint, std::string& words, float width, bool large) {
  FieldFaults::Fault* fault = scene.faults.find(name);
  if (fault && fault->typed != words) scene.faults.forget(name), fault = nullptr;
  if (width != 0) ImGui::SetNextItemWidth(width);
  if (!fault) return bare_field(scene, name, hint, words, large);
  ImGui::BeginGroup();
  const bool fresh = std::exchange(fault->take_focus, false);
  if (fresh) ImGui::SetKeyboardFocusHere();
  fault->drawn = true;
  ImGui::PushStyleColor(ImGuiCol_Border, scene.theme.bad);
  ImGui::PushStyleVar(ImGuiStyleVar_FrameBorderSize, 2 * scene.theme.scale);
  const bool changed = bare_field(scene, name, hint, words, large);
  ImGui::PopStyleVar();
  ImGui::PopStyleColor();
  const bool given_up = ImGui::IsItemDeactivated() && ImGui::IsKeyPressedMap(ImGuiKey_Escape);
  // As wide as the field, however narrow: beside it lies another.
  ImGui::PushTextWrapPos(ImGui::GetCursorPosX() + std::max(ImGui::GetItemRectSize().x, scene.theme.grid(20)));
  text(scene, scene.fonts.small, scene.theme.bad, fault->expected);
  ImGui::PopTextWrapPos();
  scene.anchors.note(std::string("fault-") + name);
  if (fresh && ImGui::GetItemRectMax().y > ImGui::GetCurrentWindow()->InnerClipRect.Max.y) ImGui::SetScrollHereY(1);
  ImGui::EndGroup();
  if (given_up) {
    words = fault->held;
    scene.faults.forget(name);
  }
  return changed && !given_up;
}

bool captioned_field(const Scene& scene, const char* name, const char* caption, const char* hint, std::string& words,
                     float width) {
  ImGui::BeginGroup();
  // Beside another field the caption would be moved down to that field's text; both columns start level.
  ImGui::GetCurrentWindow()->DC.CurrLineTextBaseOffset = 0;
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(scene.theme.grid(2), scene.theme.grid(1)));
  quiet(scene, caption);
  const bool done = field(scene, name, hint, words, width);
  ImGui::PopStyleVar();
  ImGui::EndGroup();
  return done;
}

void tooltip(const Scene& scene, const std::string& words, const std::string& key) {
  if (words.empty() || !ImGui::IsItemHovered(ImGuiHoveredFlags_AllowWhenDisabled) || GImGui->HoveredIdTimer < 0.5F) return;
  ImGui::BeginTooltip();
  text(scene, scene.fonts.small, scene.theme.text, words);
  if (!key.empty()) {
    ImGui::SameLine();
    quiet(scene, key);
  }
  ImGui::EndTooltip();
}

bool entered() { return ImGui::IsItemDeactivated() && (ImGui::IsKeyPressedMap(ImGuiKey_Enter) || ImGui::IsKeyPressedMap(ImGuiKey_KeyPadEnter)); }

void separator(const Scene& scene) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float width = ImGui::GetContentRegionAvail().x;
  ImGui::GetWindowDrawList()->AddLine(ImVec2(at.x, at.y), ImVec2(at.x + width, at.y), scene.theme.line);
  ImGui::Dummy(ImVec2(0, scene.theme.grid(1)));
}

}  // namespace boardlore
