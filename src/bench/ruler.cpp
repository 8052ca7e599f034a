#include "bench/ruler.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "bench/command_table.h"

namespace boardlore {
namespace {

constexpr int most_steps = 200;

float away(ImVec2 a, ImVec2 b) { return std::hypot(a.x - b.x, a.y - b.y); }

// White on black, so that it reads on any solder mask.
void line(ImDrawList& list, ImVec2 a, ImVec2 b, float scale) {
  list.AddLine(a, b, IM_COL32(0, 0, 0, 220), 4 * scale);
  list.AddLine(a, b, IM_COL32(255, 255, 255, 255), 1.5F * scale);
}

}  // namespace

RulerReading read_ruler(PhotoPoint a, PhotoPoint b, int steps, const PhotoMap* map) {
  RulerReading reading;
  double dx = b.x_px - a.x_px, dy = a.y_px - b.y_px;  // y up
  if (map) {
    const auto from = map->board_from(a), to = map->board_from(b);
    if (from && to) dx = to->x_mm - from->x_mm, dy = to->y_mm - from->y_mm, reading.in_mm = true;
  }
  reading.length = std::hypot(dx, dy);
  reading.angle_deg = reading.length > 0 ? std::atan2(dy, dx) * 180 / std::numbers::pi : 0;
  reading.step = reading.length / std::max(1, steps);
  return reading;
}

std::string ruler_words(const RulerReading& reading) {
  char words[64];
  std::snprintf(words, sizeof words, reading.in_mm ? "%.2f mm   %.1f°" : "%.0f px   %.1f°", reading.length, reading.angle_deg + 0.0);
  return words;
}

std::string pitch_words(const RulerReading& reading, int steps) {
  char words[64];
  std::snprintf(words, sizeof words, reading.in_mm ? "over %d: %.3f mm" : "over %d: %.1f px", steps, reading.step);
  return words;
}

void use_ruler_keys(BenchState& state) {
  if (pressed(Command::ruler)) state.ruler.on = !state.ruler.on, state.ruler.dragging = -1;
  if (!state.ruler.on) return;
  if (pressed(Command::steps_more)) state.ruler.steps = std::min(most_steps, state.ruler.steps + 1);
  if (pressed(Command::steps_less)) state.ruler.steps = std::max(1, state.ruler.steps - 1);
}

void use_ruler(const Scene& scene, BenchState& state, const PaneLook& look) {
  Ruler& ruler = state.ruler;
  if (!look.photo || look.width_px == 0) return;
  if (!ImGui::IsMouseDown(0)) ruler.dragging = -1;
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  if (look.hovered && ImGui::IsMouseClicked(0)) {
    if (ruler.photo != look.photo->photo.id) ruler.ends.clear(), ruler.photo = look.photo->photo.id;
    for (std::size_t i = 0; i < ruler.ends.size(); ++i)
      if (away(look.to_screen(ruler.ends[i]), mouse) < scene.theme.grid(3)) ruler.dragging = static_cast<int>(i);
    if (ruler.dragging < 0) {
      if (ruler.ends.size() == 2) ruler.ends.clear();
      ruler.ends.push_back(look.cursor);
      ruler.dragging = static_cast<int>(ruler.ends.size()) - 1;
      // The first press drags out the second end.
      if (ruler.ends.size() == 1) ruler.dragging = -1;
    }
  }
  if (ruler.dragging >= 0 && ruler.photo == look.photo->photo.id && look.hovered) ruler.ends[static_cast<std::size_t>(ruler.dragging)] = look.cursor;
}

void draw_ruler(const Scene& scene, BenchState& state, const PaneLook& look) {
  Ruler& ruler = state.ruler;
  if (!ruler.on || !look.photo || ruler.photo != look.photo->photo.id || ruler.ends.empty()) return;
  const Theme& t = scene.theme;
  ImDrawList& list = *look.list;
  const bool open = ruler.ends.size() < 2;
  if (open && !look.hovered) return;
  const PhotoPoint from = ruler.ends[0], to = open ? look.cursor : ruler.ends[1];
  const ImVec2 a = look.to_screen(from), b = look.to_screen(to);
  const float length = away(a, b);
  line(list, a, b, t.scale);
  if (length > 1) {
    const ImVec2 across(-(b.y - a.y) / length, (b.x - a.x) / length);
    const auto tick = [&](ImVec2 at, float reach) {
      line(list, ImVec2(at.x - across.x * reach, at.y - across.y * reach), ImVec2(at.x + across.x * reach, at.y + across.y * reach), t.scale);
    };
    tick(a, t.grid(2.5F)), tick(b, t.grid(2.5F));
    // Steps stand where they are on the board: seen at a slant they come closer together.
    std::optional<BoardPoint> board_a, board_b;
    if (look.map) board_a = look.map->board_from(from), board_b = look.map->board_from(to);
    if (length / static_cast<float>(ruler.steps) > 3)
      for (int i = 1; i < ruler.steps; ++i) {
        const double part = static_cast<double>(i) / ruler.steps;
        std::optional<ImVec2> at;
        if (board_a && board_b) at = look.to_screen(BoardPoint{board_a->x_mm + part * (board_b->x_mm - board_a->x_mm), board_a->y_mm + part * (board_b->y_mm - board_a->y_mm)});
        else at = look.to_screen(PhotoPoint{from.x_px + part * (to.x_px - from.x_px), from.y_px + part * (to.y_px - from.y_px)});
        if (at) tick(*at, t.grid(1.25F));
      }
  }
  const RulerReading reading = read_ruler(from, to, ruler.steps, look.map);
  std::string words = ruler_words(reading);
  if (ruler.steps > 1) words += "   " + pitch_words(reading, ruler.steps);
  ImFont* font = scene.fonts.value;
  const ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, words.c_str());
  // Beside the middle, inside the pane.
  ImVec2 at((a.x + b.x) / 2 + t.grid(3), (a.y + b.y) / 2 + t.grid(3));
  at.x = std::clamp(at.x, look.min.x + t.grid(3), std::max(look.min.x + t.grid(3), look.max.x - size.x - t.grid(5)));
  at.y = std::clamp(at.y, look.min.y + t.grid(3), std::max(look.min.y + t.grid(3), look.max.y - size.y - t.grid(5)));
  list.AddRectFilled(ImVec2(at.x - t.grid(2), at.y - t.grid(1)), ImVec2(at.x + size.x + t.grid(2), at.y + size.y + t.grid(1)), IM_COL32(0, 0, 0, 225), 4 * t.scale);
  list.AddText(font, font->FontSize, at, IM_COL32(255, 255, 255, 255), words.c_str());
  scene.anchors.note("ruler", ImVec2(at.x, at.y), ImVec2(at.x + size.x, at.y + size.y));
}

}  // namespace boardlore
