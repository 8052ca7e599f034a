// The operating system's side of the window: SDL, an OpenGL 3.3 context and Dear ImGui on it.
//
// SDL falls back to its 'offscreen' driver where there is no display, and a person would then wait for
// a window that never shows; that is refused unless it was asked for (BOARDLORE_OFFSCREEN=1, for tests).
#pragma once

#include <SDL.h>

#include <string>

#include "bench/input.h"
#include "domain/problem.h"

namespace boardlore {

struct WindowOptions {
  std::string title = "Boardlore";
  int width = 1600, height = 1000;
  bool placed = false, maximised = false;  // placed: at x, y, where a display shows that place
  int x = 0, y = 0;
  bool suited = false;  // a first window: the size times the scale, as far as the display has room
  double scale = 0;  // size of type and spacing; 0: from the display's density, or $BOARDLORE_SCALE
};

class Window {
 public:
  static Result<Window> open(const WindowOptions& options);
  Window(Window&& other) noexcept;
  Window& operator=(Window&&) = delete;
  ~Window();

  SDL_Window* sdl() const { return sdl_; }
  float scale() const { return scale_; }
  InputQueue& input() { return input_; }
  // Takes what the system has to say; false: the person closed the window. Waits up to `wait_ms` for the
  // first event, so that an idle window costs nothing.
  bool gather_events(int wait_ms);
  // Between begin and end, Dear ImGui calls draw into the frame.
  void begin_frame();
  void end_frame(float red, float green, float blue);
  // After the fonts were loaded anew, between frames.
  void renew_fonts();
  // RGBA rows from the top, as drawn last. For tests and screenshots.
  std::string pixels(int* width, int* height) const;  // between frames

 private:
  Window(SDL_Window* sdl, SDL_GLContext gl, float scale) : sdl_(sdl), gl_(gl), scale_(scale) {}
  SDL_Window* sdl_ = nullptr;
  SDL_GLContext gl_ = nullptr;
  float scale_ = 1;
  InputQueue input_;
};

}  // namespace boardlore
