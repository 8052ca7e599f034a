// Mouse and keys, from SDL's events to Dear ImGui, none lost and none twice.
//
// The stock layer of Dear ImGui 1.86 asks SDL where the mouse is and which buttons are held when the frame
// begins; a press and release within one frame, or a key that goes down and up, is then missed when
// frames are slow, as they are under software OpenGL. Here events wait in a queue, at most one button or
// key changes a frame, and position, buttons and modifiers are what the events said.
#pragma once

#include <SDL.h>
#include <imgui.h>

#include <deque>
#include <string>
#include <vector>

namespace boardlore {

class InputQueue {
 public:
  void add(const SDL_Event& event);
  // Sets `io` for the frame that begins; call after the backend's own NewFrame.
  void feed(ImGuiIO& io);
  bool empty() const { return waiting_.empty(); }
  // Files and folders dropped on the window since the last call.
  std::vector<std::string> take_dropped();

 private:
  void drop_keys(ImGuiIO& io);
  std::deque<SDL_Event> waiting_;
  std::vector<std::string> dropped_;
  ImVec2 mouse_{-1e30F, -1e30F};
  bool buttons_[5] = {};
};

}  // namespace boardlore
