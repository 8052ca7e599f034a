// The first minute: three short steps on the demo board, to a first mark and to a first board of one's own. Gone when they
// are done or waved away, and never seen again.
#pragma once

#include "bench/scene.h"

namespace boardlore {

class FirstSteps {
 public:
  // Only on the demo of a first start.
  void begin(const std::filesystem::path& demo) { demo_ = demo; }
  bool on(const DeskView& desk) const { return !demo_.empty() && desk.open && desk.dir == demo_; }
  // A photo dropped now begins a board of one's own.
  void finish() { demo_.clear(); }
  bool finished() const { return demo_.empty(); }
  void draw(const Scene& scene, BenchState& state, ImVec2 photos_min, ImVec2 photos_max);

 private:
  std::filesystem::path demo_;
  bool looked_ = false;
  std::size_t marks_at_first_ = 0;
};

}  // namespace boardlore
