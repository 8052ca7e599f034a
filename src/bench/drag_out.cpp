#include "bench/drag_out.h"

#include <SDL.h>
#include <SDL_syswm.h>
#include <imgui_internal.h>

#include "bench/file_uri.h"
#include "bench/scene.h"
#include "bench/widgets.h"

namespace boardlore {
namespace {

// 0: the window is none of X11's.
unsigned long x11_window(SDL_Window* window) {
#ifdef BOARDLORE_HAS_X11
  SDL_SysWMinfo info;
  SDL_VERSION(&info.version);
  if (SDL_GetWindowWMInfo(window, &info) == SDL_TRUE && info.subsystem == SDL_SYSWM_X11) return info.info.x11.window;
#endif
  static_cast<void>(window);
  return 0;
}

const char* words_over(X11DragOut::Over over) {
  switch (over) {
    case X11DragOut::Over::own_window: return "Pull it into another program's window";
    case X11DragOut::Over::nothing: return "No files are taken here";
    case X11DragOut::Over::asked: return "Asking …";
    case X11DragOut::Over::refused: return "It does not take this here";
    case X11DragOut::Over::accepted: return "Let go to give it a copy";
  }
  return "";
}

}  // namespace

std::string spoken_files(const std::vector<std::filesystem::path>& files) {
  if (files.size() == 1) return files[0].filename().string();
  if (files.size() == 2) return files[0].filename().string() + " and " + files[1].filename().string();
  return std::to_string(files.size()) + " files";
}

bool DragOut::pulled(float threshold_px) const { return !spent_ && ImGui::IsItemActive() && ImGui::IsMouseDragging(ImGuiMouseButton_Left, threshold_px); }

void DragOut::begin(std::vector<std::filesystem::path> files, bool meant_inside) {
  spent_ = pulling_ = true;
  meant_inside_ = meant_inside;
  files_ = std::move(files);
  if (const unsigned long own = x11_window(window_); own != 0) x11_.begin(own, {{"text/uri-list", uri_list(files_)}});
}

bool DragOut::cancel() {
  if (!x11_.cancel() && !pulling_) return false;
  pulling_ = false;
  ImGui::ClearActiveID();  // letting go later is no click on what was pulled at
  return true;
}

std::optional<DragOut::Ended> DragOut::begin_frame() {
  const bool held = ImGui::IsMouseDown(ImGuiMouseButton_Left);
  if (!held) spent_ = pulling_ = false;
  const auto end = x11_.take();
  if (!end) return std::nullopt;
  // Let go while somebody else had the pointer: what was pulled at must hear of it all the same. A second event does no harm.
  if (held && *end != X11DragOut::End::cancelled) {
    SDL_Event event{};
    event.type = SDL_MOUSEBUTTONUP;
    event.button.button = SDL_BUTTON_LEFT;
    event.button.x = static_cast<Sint32>(ImGui::GetIO().MousePos.x), event.button.y = static_cast<Sint32>(ImGui::GetIO().MousePos.y);
    SDL_PushEvent(&event);
  }
  return Ended{*end, files_, x11_.over() == X11DragOut::Over::nothing};
}

void DragOut::draw(const Scene& scene) const {
  if (!under_way()) return;
  const X11DragOut::Over over = x11_.over();
  if (over_other()) ImGui::SetMouseCursor(accepted() ? ImGuiMouseCursor_Hand : ImGuiMouseCursor_NotAllowed);
  if (meant_inside_ && !over_other()) return;
  // Beside the pointer, and at the window's edge while that is outside.
  const Theme& t = scene.theme;
  const std::string name = shortened(scene.fonts.strong, spoken_files(files_), t.grid(80)), words = words_over(over);
  const auto size_of = [](ImFont* font, const std::string& s) { return font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, s.c_str()); };
  const ImVec2 first = size_of(scene.fonts.strong, name), second = size_of(scene.fonts.small, words), mouse = ImGui::GetIO().MousePos, window = ImGui::GetIO().DisplaySize;
  const ImVec2 size(std::max(first.x, second.x) + t.grid(6), first.y + second.y + t.grid(4));
  const float edge = t.grid(2);
  const ImVec2 min(std::clamp(mouse.x + t.grid(4), edge, std::max(edge, window.x - size.x - edge)), std::clamp(mouse.y + t.grid(4), edge, std::max(edge, window.y - size.y - edge)));
  const ImVec2 max(min.x + size.x, min.y + size.y);
  ImDrawList& list = *ImGui::GetForegroundDrawList();
  list.AddRectFilled(min, max, t.raised, 6);
  list.AddRect(min, max, accepted() ? t.strong : t.line, 6, 0, accepted() ? 2.0F : 1.0F);
  list.AddText(scene.fonts.strong, scene.fonts.strong->FontSize, ImVec2(min.x + t.grid(3), min.y + t.grid(1.5F)), t.text, name.c_str());
  list.AddText(scene.fonts.small, scene.fonts.small->FontSize, ImVec2(min.x + t.grid(3), min.y + t.grid(2) + first.y), accepted() ? t.text : t.quiet, words.c_str());
  scene.anchors.note("dragged-out", min, max);
}

}  // namespace boardlore
