#include "bench/side_by_side.h"

#include <algorithm>
#include <cmath>

#include "bench/compare_view.h"
#include "bench/fiducials_view.h"
#include "bench/list_tie_view.h"
#include "bench/placing.h"
#include "bench/ruler.h"
#include "bench/widgets.h"

namespace boardlore {
namespace {

Id second_photo(const DeskView& desk, const BenchState& state) {
  const DeskPhoto* first = desk.find_photo(state.pane[0].photo);
  if (!first) return {};
  if (const DeskPhoto* second = desk.find_photo(state.pane[1].photo); second && second->photo.id != first->photo.id) return second->photo.id;
  // Rather another photo of the same side that is registered, else any other.
  Id best;
  int best_worth = -1;
  for (const DeskPhoto& entry : desk.photos) {
    if (entry.photo.id == first->photo.id) continue;
    const int worth = (entry.photo.side == first->photo.side ? 2 : 0) + (entry.photo.registration ? 1 : 0);
    if (worth > best_worth) best = entry.photo.id, best_worth = worth;
  }
  return best;
}

void use(const Scene& scene, BenchState& state, const PaneLook& look) {
  if (state.ruler.on)
    use_ruler(scene, state, look);
  else if (state.registering.on)
    pick_fiducials(scene, state, look);
  else if (state.tying.on)
    pick_tie(scene, state, look);
  else
    use_tool(scene, state, look);
}

void name_pane(const Scene& scene, const PaneLook& look, bool left) {
  if (!look.photo) return;
  const Theme& t = scene.theme;
  ImFont* font = scene.fonts.small;
  const std::string words = shortened(font, look.photo->photo.file, (look.max.x - look.min.x) / 2);
  const ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, words.c_str());
  const ImVec2 at(left ? look.min.x + t.grid(3) : look.max.x - t.grid(3) - size.x, look.min.y + t.grid(3));
  look.list->AddRectFilled(ImVec2(at.x - t.grid(2), at.y - t.grid(1)), ImVec2(at.x + size.x + t.grid(2), at.y + size.y + t.grid(1)), IM_COL32(0, 0, 0, 190), 4);
  look.list->AddText(font, font->FontSize, at, IM_COL32(255, 255, 255, 255), words.c_str());
}

void follow(const Scene& scene, BenchState& state, int leader) {
  const DeskPhoto* a = scene.desk.find_photo(state.pane[leader].photo);
  const DeskPhoto* b = scene.desk.find_photo(state.pane[1 - leader].photo);
  if (!a || !b || state.pane[leader].camera.zoom <= 0) return;
  const PhotoMap *from = scene.derived.map_of(a->photo), *to = scene.derived.map_of(b->photo);
  if (!from || !to) return;
  if (const auto camera = following_camera(state.pane[leader].camera, *from, *to, a->photo.side == b->photo.side))
    state.pane[1 - leader].camera = *camera;
}

}  // namespace

void choose_panes(const Scene& scene, BenchState& state, Panes panes) {
  if (state.panes == panes) {
    state.panes = Panes::one;
    state.pane_in_hand = 0;
    return;
  }
  const Id second = second_photo(scene.desk, state);
  if (second.empty()) return scene.intents.push(intent::Say{"That needs a second photo: drop one on the window.", true});
  state.pane[1].photo = second;
  state.panes = panes;
}

std::optional<Camera> following_camera(const Camera& first, const PhotoMap& first_map, const PhotoMap& second_map, bool same_side) {
  const auto board = first_map.board_from(first.centre);
  if (!board) return std::nullopt;
  const auto place = second_map.photo_from(*board);
  const double first_px = first_map.px_per_mm(*board), second_px = second_map.px_per_mm(*board);
  if (!place || !(first_px > 0) || !(second_px > 0)) return std::nullopt;
  Camera camera;
  camera.centre = *place;
  camera.zoom = std::clamp(first.zoom * first_px / second_px, min_zoom, max_zoom);
  // Where "board y up" points on the screen must agree; a flipped first view turns the other way.
  const double sense = first.flipped ? -1 : 1;
  const double up_on_screen = sense * (first_map.board_turn_rad(*board) + first.turn_rad);
  camera.flipped = first.flipped;
  camera.turn_rad = sense * up_on_screen - second_map.board_turn_rad(*board);
  static_cast<void>(same_side);
  camera.turn_rad = std::remainder(camera.turn_rad, 2 * 3.14159265358979323846);
  return camera;
}

PaneLook draw_panes(const Scene& scene, BenchState& state, ImVec2 min, ImVec2 max) {
  const float gap = scene.theme.grid(1);
  const bool placing = is_placing(state);
  if (state.panes != Panes::one && !scene.desk.find_photo(state.pane[1].photo)) state.panes = Panes::one;
  if (state.panes == Panes::side_by_side) {
    follow(scene, state, state.pane_in_hand);
    const float middle = std::floor((min.x + max.x) / 2);
    PaneLook a = draw_pane(scene, state, 0, min, ImVec2(middle - gap / 2, max.y));
    use(scene, state, a);
    PaneLook b = draw_pane(scene, state, 1, ImVec2(middle + gap / 2, min.y), max);
    use(scene, state, b);
    if (a.hovered && !state.gesture.panning) state.pane_in_hand = 0;
    if (b.hovered && !state.gesture.panning) state.pane_in_hand = 1;
    draw_pane_top(scene, state, a, placing);
    draw_pane_top(scene, state, b, placing);
    name_pane(scene, a, true);
    name_pane(scene, b, true);
    return b.hovered ? b : a;
  }
  state.pane_in_hand = 0;
  PaneLook look = draw_pane(scene, state, 0, min, max);
  if (state.panes != Panes::one) {
    follow(scene, state, 0);
    const DeskPhoto* second = scene.desk.find_photo(state.pane[1].photo);
    const bool blinked = state.panes == Panes::blink && std::fmod(ImGui::GetTime(), 2 * state.blink_half_s) > state.blink_half_s;
    if (second && (state.panes == Panes::wipe || blinked)) {
      const float edge = state.panes == Panes::wipe ? min.x + static_cast<float>(state.wipe) * (max.x - min.x) : min.x;
      scene.textures.ask(second->path, true);
      const ImVec2 from(edge, min.y);
      const ImVec2 pane_middle((min.x + max.x) / 2, (min.y + max.y) / 2);
      if (state.pane[1].camera.zoom <= 0) fit(state.pane[1].camera, second->photo.width_px, second->photo.height_px, ImVec2(max.x - min.x, max.y - min.y), scene.theme.grid(4));
      look.list->PushClipRect(from, max, true);
      look.list->AddRectFilled(from, max, scene.theme.bench);
      scene.textures.draw(*look.list, second->path, screen_from_photo(state.pane[1].camera, pane_middle), from, max);
      look.list->PopClipRect();
      PaneLook other = look;
      other.photo = second;
      name_pane(scene, other, state.panes == Panes::blink);
    }
    if (!blinked) name_pane(scene, look, true);
    if (state.panes == Panes::wipe) {
      const float edge = min.x + static_cast<float>(state.wipe) * (max.x - min.x), grip = scene.theme.grid(4);
      look.list->AddLine(ImVec2(edge, min.y), ImVec2(edge, max.y), IM_COL32(0, 0, 0, 200), scene.theme.line_px(4));
      look.list->AddLine(ImVec2(edge, min.y), ImVec2(edge, max.y), IM_COL32(255, 255, 255, 255), scene.theme.line_px(2));
      look.list->AddCircleFilled(ImVec2(edge, (min.y + max.y) / 2), grip, IM_COL32(255, 255, 255, 255));
      look.list->AddCircle(ImVec2(edge, (min.y + max.y) / 2), grip, IM_COL32(0, 0, 0, 255));
      const ImVec2 mouse = ImGui::GetIO().MousePos;
      scene.anchors.note("wipe-edge", ImVec2(edge - grip, (min.y + max.y) / 2 - grip), ImVec2(edge + grip, (min.y + max.y) / 2 + grip));
      if (look.hovered && ImGui::IsMouseClicked(0) && std::fabs(mouse.x - edge) < grip) state.wiping = true;
      if (!ImGui::IsMouseDown(0)) state.wiping = false;
      if (state.wiping) {
        state.wipe = std::clamp(static_cast<double>((mouse.x - min.x) / (max.x - min.x)), 0.02, 0.98);
        return look;
      }
    }
  }
  if (state.panes == Panes::difference) draw_difference(scene, state, look);
  use(scene, state, look);
  draw_pane_top(scene, state, look, placing);
  return look;
}

}  // namespace boardlore
