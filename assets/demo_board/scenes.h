// The six photos: which unit, seen how, under which light, and what is different on it.
#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "camera.h"
#include "parts.h"

namespace demo_board {

struct Scene {
  std::string file;
  CameraPose pose;
  int unit = 1;                    // 1: the unit the layer was made from; 2: the one that came later
  bool reworked = false;           // unit 2 after the job: U5 refitted turned by 180 degrees, C16 gone
  double light_from_deg = 120;     // in the picture, counter-clockwise from the right
  double brightness = 1.0;
  double red = 1.0, blue = 1.0;    // white balance
  double blur_px = 0.7;
  double noise = 2.0;              // standard deviation, of 255
  std::uint64_t seed = 1;
};

const std::vector<Scene>& scenes();
std::vector<Part> fitted_parts(const Scene& scene);  // what is on this unit at this moment

inline constexpr const char* turned_refdes = "U5";
inline constexpr const char* missing_refdes = "C16";
inline constexpr const char* other_marking_refdes = "U3";

}  // namespace demo_board
