#include "bench/window.h"

#include <GL/gl.h>
#include <imgui.h>
#include <imgui_impl_opengl3.h>
#include <imgui_impl_sdl.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>

#include "bench/sanitizers.h"

namespace boardlore {
namespace {

Problem no_window(const char* expected) {
  return Problem{"", "window", expected, SDL_GetError(), Outcome::system_failed};
}

float display_scale(double wanted) {
  if (wanted <= 0)
    if (const char* set = std::getenv("BOARDLORE_SCALE")) wanted = std::strtod(set, nullptr);
  if (wanted <= 0) {
    float dpi = 96;
    if (SDL_GetDisplayDPI(0, nullptr, &dpi, nullptr) != 0) dpi = 96;
    // Quarter steps: type stays on whole pixels. Displays that claim less than 96 are mostly guessing.
    wanted = static_cast<double>(static_cast<int>(dpi / 96 * 4 + 0.5F)) / 4;
    if (wanted > 3) wanted = 3;
  }
  return static_cast<float>(wanted < 1 ? 1 : wanted > 4 ? 4 : wanted);
}

// A display that was there may be gone: a window is not put where nobody can take hold of it.
bool some_display_shows(int x, int y, int width) {
  for (int i = 0; i < SDL_GetNumVideoDisplays(); ++i) {
    SDL_Rect rect;
    if (SDL_GetDisplayUsableBounds(i, &rect) != 0) continue;
    if (y >= rect.y && y < rect.y + rect.h - 60 && x + width > rect.x + 120 && x < rect.x + rect.w - 120) return true;
  }
  return false;
}

}  // namespace

Result<Window> Window::open(const WindowOptions& options) {
  SDL_SetHint(SDL_HINT_VIDEO_X11_NET_WM_BYPASS_COMPOSITOR, "0");
  SDL_SetHint(SDL_HINT_MOUSE_FOCUS_CLICKTHROUGH, "1");
  if (SDL_Init(SDL_INIT_VIDEO) != 0) return no_window("a display");
  const char* driver = SDL_GetCurrentVideoDriver();
  if (driver && std::strcmp(driver, "offscreen") == 0 && !std::getenv("BOARDLORE_OFFSCREEN")) {
    SDL_Quit();
    return Problem{"", "window", "a display (DISPLAY or WAYLAND_DISPLAY set)", "none", Outcome::system_failed};
  }
  SDL_GL_SetAttribute(SDL_GL_CONTEXT_FLAGS, 0);
  SDL_GL_SetAttribute(SDL_GL_CONTEXT_PROFILE_MASK, SDL_GL_CONTEXT_PROFILE_CORE);
  SDL_GL_SetAttribute(SDL_GL_CONTEXT_MAJOR_VERSION, 3);
  SDL_GL_SetAttribute(SDL_GL_CONTEXT_MINOR_VERSION, 3);
  SDL_GL_SetAttribute(SDL_GL_DOUBLEBUFFER, 1);
  SDL_GL_SetAttribute(SDL_GL_DEPTH_SIZE, 0);
  const bool placed = options.placed && some_display_shows(options.x, options.y, options.width);
  // A size kept from a larger display must fit this one.
  int width = options.width, height = options.height;
  SDL_Rect room;
  const float scale = display_scale(options.scale);
  if (options.suited) width = static_cast<int>(static_cast<float>(width) * scale), height = static_cast<int>(static_cast<float>(height) * scale);
  if ((options.placed || options.suited) && SDL_GetDisplayUsableBounds(0, &room) == 0 && (options.suited || SDL_GetNumVideoDisplays() == 1))
    width = std::min(width, room.w), height = std::min(height, room.h);
  SDL_Window* sdl = SDL_CreateWindow(options.title.c_str(), placed ? options.x : static_cast<int>(SDL_WINDOWPOS_CENTERED), placed ? options.y : static_cast<int>(SDL_WINDOWPOS_CENTERED),
                                     width, height,
                                     SDL_WINDOW_OPENGL | SDL_WINDOW_RESIZABLE | SDL_WINDOW_ALLOW_HIGHDPI |
                                         (options.maximised ? static_cast<Uint32>(SDL_WINDOW_MAXIMIZED) : 0U));
  if (!sdl) {
    const Problem problem = no_window("a window with OpenGL 3.3");
    SDL_Quit();
    return problem;
  }
  SDL_GLContext gl = SDL_GL_CreateContext(sdl);
  if (!gl) {
    const Problem problem = no_window("OpenGL 3.3 or later");
    SDL_DestroyWindow(sdl);
    SDL_Quit();
    return problem;
  }
  SDL_GL_MakeCurrent(sdl, gl);
  SDL_GL_SetSwapInterval(1);
  SDL_SetWindowMinimumSize(sdl, std::min(width, static_cast<int>(960 * scale)), std::min(height, static_cast<int>(600 * scale)));
  SDL_EventState(SDL_DROPFILE, SDL_ENABLE);
  IMGUI_CHECKVERSION();
  ImGui::CreateContext();
  ImGuiIO& io = ImGui::GetIO();
  io.IniFilename = nullptr;  // panels are laid out by us; nothing is written behind anybody's back
  io.KeyRepeatDelay = 1e6F;  // keys repeat when the system says so (input.cpp), not when a frame was slow
  io.ConfigWindowsMoveFromTitleBarOnly = true;
  ImGui_ImplSDL2_InitForOpenGL(sdl, gl);
  ImGui_ImplOpenGL3_Init("#version 330 core");
  return Window(sdl, gl, scale);
}

Window::Window(Window&& other) noexcept
    : sdl_(other.sdl_), gl_(other.gl_), scale_(other.scale_), input_(std::move(other.input_)) {
  other.sdl_ = nullptr;
  other.gl_ = nullptr;
}

Window::~Window() {
  if (!sdl_) return;
  ImGui_ImplOpenGL3_Shutdown();
  ImGui_ImplSDL2_Shutdown();
  ImGui::DestroyContext();
  // The driver is unloaded with the context, and a leak check afterwards can no longer tell its
  // allocations by name.
  if (kUnderLeakCheck) return;
  SDL_GL_DeleteContext(gl_);
  SDL_DestroyWindow(sdl_);
  SDL_Quit();
}

bool Window::gather_events(int wait_ms) {
  SDL_Event event;
  bool stays = true;
  if (wait_ms > 0 && input_.empty() && SDL_WaitEventTimeout(nullptr, wait_ms) == 0) return true;
  while (SDL_PollEvent(&event)) {
    if (event.type == SDL_QUIT) stays = false;
    input_.add(event);
  }
  return stays;
}

void Window::begin_frame() {
  ImGui_ImplOpenGL3_NewFrame();
  ImGui_ImplSDL2_NewFrame();
  input_.feed(ImGui::GetIO());
  ImGui::NewFrame();
}

void Window::end_frame(float red, float green, float blue) {
  ImGui::Render();
  int width = 0, height = 0;
  SDL_GL_GetDrawableSize(sdl_, &width, &height);
  glViewport(0, 0, width, height);
  glClearColor(red, green, blue, 1);
  glClear(GL_COLOR_BUFFER_BIT);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
  SDL_GL_SwapWindow(sdl_);
}

void Window::renew_fonts() {
  ImGui_ImplOpenGL3_DestroyFontsTexture();
  ImGui_ImplOpenGL3_CreateFontsTexture();
}

std::string Window::pixels(int* width, int* height) const {
  SDL_GL_GetDrawableSize(sdl_, width, height);
  const auto row = static_cast<std::size_t>(*width) * 4;
  std::string from_below(row * static_cast<std::size_t>(*height), '\0');
  glPixelStorei(GL_PACK_ALIGNMENT, 1);
  // What was swapped away need not be readable: the frame is drawn once more, and read instead of shown.
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
  glReadBuffer(GL_BACK);
  glReadPixels(0, 0, *width, *height, GL_RGBA, GL_UNSIGNED_BYTE, from_below.data());
  std::string from_top;
  from_top.reserve(from_below.size());
  for (int y = *height - 1; y >= 0; --y) from_top.append(from_below, static_cast<std::size_t>(y) * row, row);
  return from_top;
}

}  // namespace boardlore
