#include "truth.h"

#include <cstdio>

#include "dice.h"
#include "footprints.h"

namespace demo_board {
namespace {

std::string number(double value, const char* format = "%.10g") {
  char text[40];
  std::snprintf(text, sizeof text, format, value == 0.0 ? 0.0 : value);
  return text;
}
std::string pair_of(Point p, const char* format = "%.10g") {
  return "[" + number(p.x, format) + ", " + number(p.y, format) + "]";
}
const char* side_name(Side side) { return side == Side::top ? "top" : "bottom"; }

std::string photo_json(const Scene& scene) {
  const Camera camera(scene.pose);
  std::string text = "    {\"file\": \"" + scene.file + "\", \"unit\": " + std::to_string(scene.unit) + ", \"side\": \"" +
                     side_name(scene.pose.side) + "\", \"width\": " + std::to_string(scene.pose.width_px) +
                     ", \"height\": " + std::to_string(scene.pose.height_px) + ",\n     \"photo_from_board\": [";
  for (std::size_t i = 0; i < 9; ++i) text += (i ? ", " : "") + number(camera.photo_from_board()[i], "%.15g");
  text += "],\n     \"targets\": [";
  bool first = true;
  for (const Target& t : targets()) {
    if (!t.hole && t.side != scene.pose.side) continue;
    text += std::string(first ? "" : ",") + "\n       {\"name\": \"" + t.name + "\", \"kind\": \"" + (t.hole ? "hole" : "fiducial") +
            "\", \"board_mm\": " + pair_of(t.at_mm) + ", \"photo_px\": " + pair_of(camera.photo_px({t.at_mm.x, t.at_mm.y, 0}), "%.4f") + "}";
    first = false;
  }
  return text + "\n     ]}";
}

std::string part_json(const Part& p) {
  std::string text = "    {\"refdes\": \"" + p.refdes + "\", \"family\": \"" + family_name(p.family) + "\", \"package\": \"" + p.package +
                     "\", \"pins\": " + std::to_string(p.pins) + ", \"pitch_mm\": " + number(p.pitch_mm) + ", \"span_mm\": " + number(p.span_mm) +
                     ", \"body_mm\": " + pair_of({p.length_mm, p.width_mm}) + ", \"height_mm\": " + number(p.height_mm) +
                     ", \"at_mm\": " + pair_of(p.at_mm) + ", \"rotation_deg\": " + number(p.rotation_deg) + ", \"side\": \"" + side_name(p.side) +
                     "\", \"marking\": \"" + p.marking + "\", \"pin1\": \"" + p.pin1 + "\", \"pads_mm\": [";
  bool first = true;
  for (const Land& l : lands(p)) {
    text += (first ? "" : ", ") + pair_of(board_from_part(p, l.at), "%.4f");
    first = false;
  }
  return text + "]}";
}

}  // namespace

std::string truth_json() {
  std::string text = "{\n  \"board\": {\"maker\": \"Brackenwick\", \"model\": \"GC-12\", \"revision\": \"C\", \"width_mm\": " + number(board_width_mm) +
                     ", \"height_mm\": " + number(board_height_mm) + ",\n    \"outline_mm\": [";
  bool first = true;
  for (Point p : outline_mm()) {
    text += (first ? "" : ", ") + pair_of(p);
    first = false;
  }
  text += "]},\n  \"changed_between_before_and_after\": [\n    {\"refdes\": \"" + std::string(turned_refdes) + "\", \"change\": \"turned\", \"by_deg\": 180},\n    {\"refdes\": \"" +
          missing_refdes + "\", \"change\": \"missing\"}\n  ],\n  \"unit_2_other_marking\": {\"refdes\": \"" + other_marking_refdes + "\", \"marking\": \"TN324 8H2\"},\n  \"photos\": [\n";
  for (std::size_t i = 0; i < scenes().size(); ++i) text += photo_json(scenes()[i]) + (i + 1 < scenes().size() ? ",\n" : "\n");
  text += "  ],\n  \"parts\": [\n";
  for (std::size_t i = 0; i < parts().size(); ++i) text += part_json(parts()[i]) + (i + 1 < parts().size() ? ",\n" : "\n");
  return text + "  ]\n}\n";
}

std::string picked_fiducials_json(const Scene& scene) {
  const Camera camera(scene.pose);
  Dice dice(seed_of(scene.file, 9));
  std::string text = "[\n";
  bool first = true;
  for (const Target& t : targets()) {
    if (!t.hole && t.side != scene.pose.side) continue;
    if (t.name == "H2") continue;  // six points are enough; this one is left for checking
    Point p = camera.photo_px({t.at_mm.x, t.at_mm.y, 0});
    p.x += dice.between(-0.6, 0.6);
    p.y += dice.between(-0.6, 0.6);
    text += std::string(first ? "" : ",\n") + "  {\"photo_px\": " + pair_of(p, "%.1f") + ", \"board_mm\": " + pair_of(t.at_mm) + "}";
    first = false;
  }
  return text + "\n]\n";
}

}  // namespace demo_board
