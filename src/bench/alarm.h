// A reading out of limits, felt without looking: the window's edge lights up, two short tones. Both off unless set.
#pragma once

#include "bench/scene.h"

namespace boardlore {

class Alarm {
 public:
  Alarm() = default;
  Alarm(const Alarm&) = delete;
  Alarm& operator=(const Alarm&) = delete;
  ~Alarm();
  void raise(bool flash, bool sound);
  bool flashing() const;
  void draw(const Scene& scene, ImVec2 window) const;

 private:
  double until_s_ = -1;
  unsigned device_ = 0;  // 0: no sound yet
};

}  // namespace boardlore
