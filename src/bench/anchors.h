// Where things a person can click were drawn in the last frame, by name, so that a test can click them as
// a person would, with real events, and fails when they are not on the screen.
#pragma once

#include <imgui.h>

#include <map>
#include <string>

namespace boardlore {

class Anchors {
 public:
  struct Rect {
    ImVec2 min, max;
    ImVec2 middle() const { return ImVec2((min.x + max.x) / 2, (min.y + max.y) / 2); }
  };

  void begin_frame() { now_.clear(); }
  // The item just submitted. What is scrolled out of sight is not there.
  void note(const std::string& name) {
    if (ImGui::IsItemVisible()) now_[name] = {ImGui::GetItemRectMin(), ImGui::GetItemRectMax()};
  }
  void note(const std::string& name, ImVec2 min, ImVec2 max) { now_[name] = {min, max}; }
  const Rect* find(const std::string& name) const {
    const auto it = now_.find(name);
    return it == now_.end() ? nullptr : &it->second;
  }
  const std::map<std::string, Rect>& all() const { return now_; }

 private:
  std::map<std::string, Rect> now_;
};

}  // namespace boardlore
