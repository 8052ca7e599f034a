#include "bench/cover_view.h"

#include <SDL_scancode.h>

#include <algorithm>
#include <cmath>

#include "bench/widgets.h"
#include "exchange/cover_photo.h"

namespace boardlore {
namespace {

// Screen to photo and rounded outwards; the corners of a turned view span a box.
PixelRect region_between(PhotoPoint a, PhotoPoint b) {
  return {static_cast<int>(std::floor(std::min(a.x_px, b.x_px))), static_cast<int>(std::floor(std::min(a.y_px, b.y_px))),
          static_cast<int>(std::ceil(std::max(a.x_px, b.x_px))), static_cast<int>(std::ceil(std::max(a.y_px, b.y_px)))};
}

// The arrow keys move a cross over the screen, so that going closer makes the steps finer; Enter sets a corner with it.
// true: the second corner is set.
bool use_keys(CoverState& cover, const PaneLook& look) {
  if (ImGui::GetIO().WantTextInput || ImGui::GetIO().KeyCtrl) return false;
  const float step = ImGui::GetIO().KeyShift ? 40.0F : 4.0F;
  constexpr struct {
    SDL_Scancode key;
    float x, y;
  } arrows[] = {{SDL_SCANCODE_LEFT, -1, 0}, {SDL_SCANCODE_RIGHT, 1, 0}, {SDL_SCANCODE_UP, 0, -1}, {SDL_SCANCODE_DOWN, 0, 1}};
  for (const auto& arrow : arrows) {
    if (!ImGui::IsKeyPressed(arrow.key)) continue;
    const ImVec2 at = cover.cross ? look.to_screen(*cover.cross) : look.middle();
    const ImVec2 moved(std::clamp(at.x + step * arrow.x, look.min.x, look.max.x), std::clamp(at.y + step * arrow.y, look.min.y, look.max.y));
    cover.cross = look.screen_from_photo.photo_from_screen({moved.x, moved.y});
  }
  if (!cover.cross || !(ImGui::IsKeyPressed(SDL_SCANCODE_RETURN, false) || ImGui::IsKeyPressed(SDL_SCANCODE_KP_ENTER, false))) return false;
  if (cover.from) return true;
  cover.from = cover.cross;
  return false;
}

void draw_cross(ImDrawList& list, const Theme& t, ImVec2 at) {
  const float arm = 12 * t.scale;
  for (const auto& [color, width] : {std::pair{IM_COL32(0, 0, 0, 255), 4.0F}, std::pair{IM_COL32(255, 255, 255, 255), 2.0F}}) {
    list.AddLine(ImVec2(at.x - arm, at.y), ImVec2(at.x + arm, at.y), color, width * t.scale);
    list.AddLine(ImVec2(at.x, at.y - arm), ImVec2(at.x, at.y + arm), color, width * t.scale);
  }
}

}  // namespace

void draw_covering(const Scene& scene, CoverState& cover, const PaneLook& look) {
  if (cover.photo.empty()) return;
  if (!look.photo || look.photo->photo.id != cover.photo) {
    cover = CoverState{};
    return;
  }
  const Theme& t = scene.theme;
  ImGui::SetNextWindowPos(look.min);
  ImGui::SetNextWindowSize(ImVec2(look.max.x - look.min.x, look.max.y - look.min.y));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(4), t.grid(3)));
  ImGui::Begin("covering", nullptr, ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoBackground | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoNav);
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const std::string hint = "Drag over what must not be seen, or set two corners by arrow keys and Enter.  Esc: leave it";
  const ImVec2 words = scene.fonts.body->CalcTextSizeA(scene.fonts.body->FontSize, FLT_MAX, 0, hint.c_str());
  const ImVec2 at((look.min.x + look.max.x - words.x) / 2, look.min.y + t.grid(4));
  list.AddRectFilled(ImVec2(at.x - t.grid(3), at.y - t.grid(2)), ImVec2(at.x + words.x + t.grid(3), at.y + words.y + t.grid(2)), t.raised, 4 * t.scale);
  list.AddText(scene.fonts.body, scene.fonts.body->FontSize, at, t.text, hint.c_str());
  ImGui::SetCursorScreenPos(look.min);
  ImGui::InvisibleButton("over", ImVec2(look.max.x - look.min.x, look.max.y - look.min.y));
  scene.anchors.note("covering");
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  if (ImGui::IsItemActivated()) cover.cross.reset(), cover.from = look.screen_from_photo.photo_from_screen({mouse.x, mouse.y});
  const bool second_corner = use_keys(cover, look);
  const PhotoPoint now = cover.cross ? *cover.cross : look.screen_from_photo.photo_from_screen({mouse.x, mouse.y});
  if (cover.from) {
    const PixelRect r = region_between(*cover.from, now);
    // As it lies on the screen, whichever way the view is turned.
    const ImVec2 corners[4] = {look.to_screen(PhotoPoint{double(r.left), double(r.top)}), look.to_screen(PhotoPoint{double(r.right), double(r.top)}),
                               look.to_screen(PhotoPoint{double(r.right), double(r.bottom)}), look.to_screen(PhotoPoint{double(r.left), double(r.bottom)})};
    list.AddConvexPolyFilled(corners, 4, IM_COL32(48, 48, 48, 255));
    list.AddPolyline(corners, 4, t.strong, ImDrawFlags_Closed, 2 * t.scale);
    if (second_corner || (!cover.cross && !ImGui::IsItemActive())) {
      const Id photo = cover.photo;
      cover = CoverState{};
      if (r.width() >= 2 && r.height() >= 2)
        scene.intents.push(intent::Work{"cover a region", [photo, r](Folder& folder) -> Result<std::string> {
                                          const Result<Photo> covered = cover_photo(folder, photo, {r});
                                          if (!covered) return covered.problem();
                                          return "Covered in " + covered->file + "; undo brings the photo back as it was.";
                                        }});
    }
  }
  if (cover.cross) draw_cross(list, t, look.to_screen(*cover.cross));
  ImGui::End();
  ImGui::PopStyleVar();
}

}  // namespace boardlore
