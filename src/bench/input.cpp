#include "bench/input.h"

#include <algorithm>
#include <utility>

namespace boardlore {
namespace {

int imgui_button(Uint8 sdl_button) {
  switch (sdl_button) {
    case SDL_BUTTON_LEFT: return 0;
    case SDL_BUTTON_RIGHT: return 1;
    case SDL_BUTTON_MIDDLE: return 2;
    case SDL_BUTTON_X1: return 3;
    case SDL_BUTTON_X2: return 4;
    default: return -1;
  }
}

// Keys that may be held: the rest acts once a press, however long.
bool repeats(int scancode) {
  switch (scancode) {
    case SDL_SCANCODE_LEFT: case SDL_SCANCODE_RIGHT: case SDL_SCANCODE_UP: case SDL_SCANCODE_DOWN:
    case SDL_SCANCODE_BACKSPACE: case SDL_SCANCODE_DELETE: case SDL_SCANCODE_Z: case SDL_SCANCODE_Y:
    case SDL_SCANCODE_PAGEUP: case SDL_SCANCODE_PAGEDOWN: case SDL_SCANCODE_EQUALS: case SDL_SCANCODE_MINUS:
    case SDL_SCANCODE_KP_PLUS: case SDL_SCANCODE_KP_MINUS: return true;
    default: return false;
  }
}

}  // namespace

void InputQueue::add(const SDL_Event& event) {
  switch (event.type) {
    case SDL_DROPFILE:
      if (event.drop.file) {
        dropped_.emplace_back(event.drop.file);
        SDL_free(event.drop.file);
      }
      break;
    case SDL_MOUSEMOTION:
      // Only the last of a run of motions matters.
      if (!waiting_.empty() && waiting_.back().type == SDL_MOUSEMOTION) waiting_.pop_back();
      waiting_.push_back(event);
      break;
    case SDL_KEYDOWN:
    case SDL_KEYUP:
    case SDL_TEXTINPUT:
    case SDL_MOUSEBUTTONDOWN:
    case SDL_MOUSEBUTTONUP:
    case SDL_MOUSEWHEEL:
      waiting_.push_back(event);
      break;
    case SDL_WINDOWEVENT:
      if (event.window.event == SDL_WINDOWEVENT_FOCUS_LOST || event.window.event == SDL_WINDOWEVENT_FOCUS_GAINED ||
          event.window.event == SDL_WINDOWEVENT_LEAVE)
        waiting_.push_back(event);
      break;
    default: break;
  }
}

void InputQueue::drop_keys(ImGuiIO& io) {
  std::fill(std::begin(io.KeysDown), std::end(io.KeysDown), false);
  std::fill(std::begin(buttons_), std::end(buttons_), false);
  io.KeyCtrl = io.KeyShift = io.KeyAlt = io.KeySuper = false;
}

void InputQueue::feed(ImGuiIO& io) {
  bool changed = false;  // one button or key a frame
  while (!waiting_.empty()) {
    const SDL_Event& event = waiting_.front();
    if (event.type == SDL_MOUSEMOTION) {
      // A move after a press belongs to the next frame, else the press is seen where the move ended.
      if (changed) break;
      mouse_ = ImVec2(static_cast<float>(event.motion.x), static_cast<float>(event.motion.y));
    } else if (event.type == SDL_MOUSEBUTTONDOWN || event.type == SDL_MOUSEBUTTONUP) {
      if (changed) break;
      const int button = imgui_button(event.button.button);
      const ImVec2 place(static_cast<float>(event.button.x), static_cast<float>(event.button.y));
      // Let hover settle on a new place before the press arrives there.
      const bool jumped = place.x != io.MousePos.x || place.y != io.MousePos.y;
      mouse_ = place;
      if (jumped && event.type == SDL_MOUSEBUTTONDOWN && !buttons_[0]) {
        io.MousePos = mouse_;
        std::copy(std::begin(buttons_), std::end(buttons_), std::begin(io.MouseDown));
        return;
      }
      if (button >= 0) {
        buttons_[button] = event.type == SDL_MOUSEBUTTONDOWN;
        changed = true;
        SDL_CaptureMouse(std::any_of(std::begin(buttons_), std::end(buttons_), [](bool b) { return b; }) ? SDL_TRUE
                                                                                                         : SDL_FALSE);
      }
    } else if (event.type == SDL_KEYDOWN || event.type == SDL_KEYUP) {
      const int code = event.key.keysym.scancode;
      const bool down = event.type == SDL_KEYDOWN;
      const bool repeat = down && event.key.repeat != 0;
      if (changed) break;
      io.KeyShift = (event.key.keysym.mod & KMOD_SHIFT) != 0;
      io.KeyCtrl = (event.key.keysym.mod & KMOD_CTRL) != 0;
      io.KeyAlt = (event.key.keysym.mod & KMOD_ALT) != 0;
      io.KeySuper = (event.key.keysym.mod & KMOD_GUI) != 0;
      if (code >= 0 && code < IM_ARRAYSIZE(io.KeysDown)) {
        // The system's own repeat counts, not frame times: Dear ImGui is told the key went down anew.
        if (repeat && repeats(code)) io.KeysDownDuration[code] = -1;
        if (!repeat) io.KeysDown[code] = down;
        changed = true;
      }
    } else if (event.type == SDL_TEXTINPUT) {
      io.AddInputCharactersUTF8(event.text.text);
    } else if (event.type == SDL_MOUSEWHEEL) {
      if (changed) break;
      io.MouseWheel += event.wheel.preciseY;
      io.MouseWheelH += event.wheel.preciseX;
    } else if (event.type == SDL_WINDOWEVENT) {
      if (event.window.event == SDL_WINDOWEVENT_LEAVE) {
        if (!buttons_[0] && !buttons_[2]) mouse_ = ImVec2(-1e30F, -1e30F);
      } else {
        io.AddFocusEvent(event.window.event == SDL_WINDOWEVENT_FOCUS_GAINED);
        if (event.window.event == SDL_WINDOWEVENT_FOCUS_LOST) drop_keys(io);
      }
    }
    waiting_.pop_front();
  }
  io.MousePos = mouse_;
  std::copy(std::begin(buttons_), std::end(buttons_), std::begin(io.MouseDown));
}

std::vector<std::string> InputQueue::take_dropped() { return std::exchange(dropped_, {}); }

}  // namespace boardlore
