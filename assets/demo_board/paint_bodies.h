// Bodies of the parts: boxes, cans and leads with lit and shaded faces, seen in perspective.
#pragma once
#include "dice.h"
#include "parts.h"
#include "pen.h"

namespace demo_board {

// What a body painter needs: shapes are given in the part's own frame.
class BodyPainter {
 public:
  BodyPainter(Pen& pen, const Part& part, Solid light, std::uint64_t unit);
  Solid at(double x, double y, double height) const;
  double lit(Solid local_normal) const;  // 0.5 in shade to about 1.1 facing the light
  void box(Point centre, double length, double width, double low, double high, Ink ink, double bevel);
  void face(const std::vector<Solid>& local, Ink ink);            // as given, no lighting
  void sheen(const std::vector<Solid>& local, Ink ink, double contrast);  // graded along the light
  void cylinder(Point centre, double radius, double low, double high, Ink ink, int corners = 40);
  void gull_wing(Point root, Point out_unit, double reach, double width, double shoulder);
  void fillet(Point inner, Point outer, double width, double height);  // solder from end cap to land edge
  void words(std::string_view text, Point centre, double size, double height, Ink ink, bool across = false);
  Pen& pen;
  const Part& part;
  Solid light;
  Dice dice;

 private:
  Solid normal_on_board(Solid local) const;
};

void paint_body(Pen& pen, const Part& part, Solid light, std::uint64_t unit);
// The same for the larger ones: cans, cell holder, connectors, shielded module.
void paint_tall_body(BodyPainter& bench);
// What the body throws on the board, as one dark outline.
void paint_shadow(Pen& pen, const Part& part, Solid light, double grow_mm);

}  // namespace demo_board
