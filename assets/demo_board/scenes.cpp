#include "scenes.h"

namespace demo_board {

const std::vector<Scene>& scenes() {
  static const std::vector<Scene> list = [] {
    std::vector<Scene> s(6);
    s[0].file = "top.jpg";
    s[0].pose = {Side::top, 2600, 1800, 1.6, 9.0, 12.0, 430, 6650, {0, 4}};
    s[0].light_from_deg = 125;
    s[0].seed = 11;
    s[1].file = "bottom.jpg";
    s[1].pose = {Side::bottom, 2600, 1800, -1.2, 8.0, -20.0, 430, 6650, {4, 0}};
    s[1].light_from_deg = 115;
    s[1].seed = 12;
    s[2].file = "later-unit/later_top.jpg";
    s[2].pose = {Side::top, 2400, 1700, 187.0, 15.0, 35.0, 400, 5500, {12, -10}};
    s[2].light_from_deg = 50;
    s[2].brightness = 0.93;
    s[2].red = 1.09;
    s[2].blue = 0.84;
    s[3].file = "later-unit/later_bottom.jpg";
    s[3].pose = {Side::bottom, 2400, 1700, 172.0, 13.0, 160.0, 400, 5500, {-10, 0}};
    s[3].light_from_deg = 40;
    s[3].brightness = 0.95;
    s[3].red = 1.08;
    s[3].blue = 0.86;
    s[4].file = "later-unit/later_before.jpg";
    s[4].pose = {Side::top, 2400, 1700, -6.0, 14.0, -40.0, 400, 5560, {0, 14}};
    s[4].light_from_deg = 100;
    s[4].red = 0.96;
    s[4].blue = 1.05;
    s[5].file = "later-unit/later_after.jpg";
    s[5].pose = {Side::top, 2400, 1700, 4.0, 12.0, 70.0, 390, 5450, {-8, 0}};
    s[5].light_from_deg = 150;
    s[5].brightness = 1.04;
    s[5].red = 1.02;
    s[5].blue = 0.97;
    s[5].reworked = true;
    for (std::size_t i = 2; i < s.size(); ++i) {
      s[i].unit = 2;
      s[i].blur_px = 0.8;
      s[i].seed = 20 + i;
    }
    return s;
  }();
  return list;
}

std::vector<Part> fitted_parts(const Scene& scene) {
  std::vector<Part> fitted;
  for (Part part : parts()) {
    if (scene.reworked && part.refdes == missing_refdes) continue;
    if (scene.reworked && part.refdes == turned_refdes) part.rotation_deg += 180;
    if (scene.unit == 2 && part.refdes == other_marking_refdes) part.marking = "TN324 8H2";
    fitted.push_back(part);
  }
  return fitted;
}

}  // namespace demo_board
