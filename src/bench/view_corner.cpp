#include "bench/view_corner.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace boardlore {
namespace {

constexpr double pi = std::numbers::pi;

struct SmallMap {
  ImVec2 min, max;
  ScreenFromPhoto screen_from_photo;
};

bool inside(ImVec2 p, ImVec2 min, ImVec2 max) { return p.x >= min.x && p.y >= min.y && p.x < max.x && p.y < max.y; }

// Only while part of the photo is out of sight and the pane has room.
std::optional<SmallMap> small_map(const Scene& scene, const BenchState& state, const PaneLook& look) {
  if (!state.small_map || !look.photo || look.width_px <= 0) return std::nullopt;
  const Theme& t = scene.theme;
  const ImVec2 pane(look.max.x - look.min.x, look.max.y - look.min.y);
  if (pane.x < t.grid(120) || pane.y < t.grid(80)) return std::nullopt;
  const Camera& camera = state.pane[look.index].camera;
  Camera whole = camera;
  fit(whole, look.width_px, look.height_px, pane, 0);
  if (camera.zoom < whole.zoom * 1.6) return std::nullopt;
  Camera small = camera;
  const ImVec2 room(t.grid(44), t.grid(30));
  fit(small, look.width_px, look.height_px, room, 0);
  const double c = std::fabs(std::cos(small.turn_rad)), s = std::fabs(std::sin(small.turn_rad));
  const auto wide = static_cast<float>((look.width_px * c + look.height_px * s) * small.zoom);
  const auto high = static_cast<float>((look.width_px * s + look.height_px * c) * small.zoom);
  SmallMap map;
  map.max = ImVec2(look.max.x - t.grid(3), look.min.y + t.grid(3) + high);
  map.min = ImVec2(map.max.x - wide, look.min.y + t.grid(3));
  map.screen_from_photo = screen_from_photo(small, ImVec2((map.min.x + map.max.x) / 2, (map.min.y + map.max.y) / 2));
  return map;
}

}  // namespace

std::optional<BoardAttitude> board_attitude(const PaneLook& look, const Camera& camera) {
  if (!look.map) return std::nullopt;
  const auto board = look.map->board_from(look.screen_from_photo.photo_from_screen({look.middle().x, look.middle().y}));
  if (!board) return std::nullopt;
  const double sense = camera.flipped ? -1 : 1;
  return BoardAttitude{std::remainder(sense * (look.map->board_turn_rad(*board) + camera.turn_rad), 2 * pi), camera.flipped};
}

std::string attitude_words(const BoardAttitude& attitude) {
  const double deg = attitude.turn_rad * 180 / pi;
  char words[48];
  if (std::fabs(deg) < 2) std::snprintf(words, sizeof words, "upright");
  else if (std::fabs(deg) > 178) std::snprintf(words, sizeof words, "upside down");
  else std::snprintf(words, sizeof words, "%.0f° to the %s", std::fabs(deg), deg > 0 ? "right" : "left");
  return std::string(words) + (attitude.mirrored ? ", mirrored" : "");
}

double turned_over_rad(double turn_before_rad, bool level) {
  return std::remainder(level ? pi - turn_before_rad : -turn_before_rad, 2 * pi);
}

double view_turn_for(double wanted_turn_rad, double photo_turn_rad, double view_turn_before_rad) {
  const double turn = std::remainder(wanted_turn_rad - photo_turn_rad, 2 * pi);
  const bool straight = std::fabs(std::remainder(view_turn_before_rad, pi / 2)) < 1e-6;
  return straight ? std::remainder(std::round(turn / (pi / 2)) * (pi / 2), 2 * pi) : turn;
}

bool use_small_map(const Scene& scene, BenchState& state, const PaneLook& look) {
  const auto map = small_map(scene, state, look);
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  if (!ImGui::IsMouseDown(0)) state.small_map_held = false;
  if (!map) return false;
  const bool over = look.hovered && inside(mouse, map->min, map->max);
  if (over && ImGui::IsMouseClicked(0)) state.small_map_held = true, state.pane_in_hand = look.index;
  if (state.small_map_held && state.pane_in_hand == look.index) {
    const PhotoPoint at = map->screen_from_photo.photo_from_screen({mouse.x, mouse.y});
    state.pane[look.index].camera.centre = {std::clamp(at.x_px, 0.0, static_cast<double>(look.width_px)), std::clamp(at.y_px, 0.0, static_cast<double>(look.height_px))};
    return true;
  }
  return over;
}

void draw_view_corner(const Scene& scene, BenchState& state, const PaneLook& look) {
  if (!look.photo || look.width_px <= 0) return;
  const Theme& t = scene.theme;
  ImDrawList& list = *look.list;
  const ImU32 white = IM_COL32(255, 255, 255, 255), black = IM_COL32(0, 0, 0, 225);
  float y = look.min.y + t.grid(3);
  if (const auto map = small_map(scene, state, look)) {
    list.AddRectFilled(ImVec2(map->min.x - 2, map->min.y - 2), ImVec2(map->max.x + 2, map->max.y + 2), black);
    scene.textures.draw(list, look.photo->path, map->screen_from_photo, map->min, map->max);
    // What the pane shows, as it lies in the map: the map is turned as the view, so it is upright here too.
    const auto corner = [&](ImVec2 p) {
      const ScreenPoint s = map->screen_from_photo(look.screen_from_photo.photo_from_screen({p.x, p.y}));
      return ImVec2(std::clamp(static_cast<float>(s.x), map->min.x, map->max.x), std::clamp(static_cast<float>(s.y), map->min.y, map->max.y));
    };
    const ImVec2 from = corner(look.min), to = corner(look.max);
    list.AddRect(from, to, black, 0, 0, 4 * t.scale);
    list.AddRect(from, to, white, 0, 0, 2 * t.scale);
    list.AddRect(ImVec2(map->min.x - 1, map->min.y - 1), ImVec2(map->max.x + 1, map->max.y + 1), white);
    scene.anchors.note("small-map", map->min, map->max);
    y = map->max.y + t.grid(2);
  }
  const auto attitude = board_attitude(look, state.pane[look.index].camera);
  if (!attitude || (std::fabs(attitude->turn_rad) < 2 * pi / 180 && !attitude->mirrored)) return;
  // The board's outline as it lies, its upper edge heavy, beside the words.
  ImFont* font = scene.fonts.small;
  const std::string words = attitude_words(*attitude);
  const ImVec2 wide = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, words.c_str());
  const float high = t.grid(12), left = look.max.x - t.grid(3) - wide.x - t.grid(16);
  list.AddRectFilled(ImVec2(left, y), ImVec2(look.max.x - t.grid(3), y + high), black, 4 * t.scale);
  const Board& board = scene.layer().board;
  const double w = board.width_mm.value_or(3), h = board.height_mm.value_or(2), reach = t.grid(4.5F) / std::max(1e-6, std::hypot(w, h) / 2);
  const ImVec2 middle(left + t.grid(6), y + high / 2);
  const auto place = [&](double x, double up) {
    // Clockwise on the screen, y down.
    const double sx = x * reach * (attitude->mirrored ? -1 : 1), sy = -up * reach;
    const double c = std::cos(attitude->turn_rad), s = std::sin(attitude->turn_rad);
    return ImVec2(middle.x + static_cast<float>(sx * c - sy * s), middle.y + static_cast<float>(sx * s + sy * c));
  };
  const ImVec2 corners[] = {place(-w / 2, h / 2), place(w / 2, h / 2), place(w / 2, -h / 2), place(-w / 2, -h / 2)};
  list.AddPolyline(corners, 4, white, ImDrawFlags_Closed, 1.5F * t.scale);
  list.AddLine(corners[0], corners[1], white, 4 * t.scale);
  list.AddText(font, font->FontSize, ImVec2(left + t.grid(13), y + (high - wide.y) / 2), white, words.c_str());
  scene.anchors.note("which-way-round", ImVec2(left, y), ImVec2(look.max.x - t.grid(3), y + high));
}

}  // namespace boardlore
