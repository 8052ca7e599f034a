#include "bench/compare_view.h"

#include <cmath>
#include <cstdio>

#include "bench/side_by_side.h"
#include "bench/widgets.h"
#include "geometry/outline.h"
#include "overlay/canvas_imgui.h"

namespace boardlore {
namespace {

constexpr const char* aid_words = "An aid to the eye, not the last word: look at what it names, and at pin 1. Tall parts differ in any two photos.";

std::string name_of(const DeskView& desk, const Id& id) {
  const DeskPhoto* photo = desk.find_photo(id);
  return photo ? std::filesystem::path(photo->photo.file).filename().string() : std::string("none");
}

// The board's y axis points up on the screen in both, so that the same way up is the same way round.
void draw_patch(const Scene& scene, const DeskPhoto& photo, const BoardRect& place, ImVec2 min, ImVec2 max, const char* caption) {
  const Theme& t = scene.theme;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddRectFilled(min, max, t.bench);
  const PhotoMap* map = scene.derived.map_of(photo.photo);
  const BoardPoint middle{place.left_mm + place.width_mm / 2, place.low_mm + place.height_mm / 2};
  const auto at = map ? map->photo_from(middle) : std::nullopt;
  if (at && scene.textures.ask(photo.path, true).there) {
    Camera camera;
    camera.centre = *at;
    camera.turn_rad = -map->board_turn_rad(middle);
    const double px = map->px_per_mm(middle) * std::max(place.width_mm, place.height_mm);
    camera.zoom = px > 0 ? (max.x - min.x) / px : 1;
    list.PushClipRect(min, max, true);
    scene.textures.draw(list, photo.path, screen_from_photo(camera, ImVec2((min.x + max.x) / 2, (min.y + max.y) / 2)), min, max);
    list.PopClipRect();
  }
  ImFont* font = scene.fonts.small;
  const ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, caption);
  list.AddRectFilled(min, ImVec2(min.x + size.x + t.grid(3), min.y + size.y + t.grid(1.5F)), IM_COL32(0, 0, 0, 190), 3);
  list.AddText(font, font->FontSize, ImVec2(min.x + t.grid(1.5F), min.y + t.grid(0.75F)), IM_COL32(255, 255, 255, 255), caption);
  list.AddRect(min, max, t.line, 3);
}

// Tall parts differ in any two photos; what was found is ringed and named, or it would drown among them.
void ring_findings(const Scene& scene, const Compared& compared, const PaneLook& look) {
  const Theme& t = scene.theme;
  ImDrawList& list = *look.list;
  ImFont* font = scene.fonts.small;
  for (const PartComparison& part : compared.comparison.parts) {
    const MarkPtr mark = is_finding(part.verdict) ? scene.layer().marks.find(part.mark) : nullptr;
    const auto middle = mark ? look.to_screen(mark->at) : std::nullopt;
    if (!middle) continue;
    float reach = t.grid(3);
    for (const BoardPoint corner : outline_of(*mark))
      if (const auto at = look.to_screen(corner)) reach = std::max(reach, std::hypot(at->x - middle->x, at->y - middle->y) + t.grid(1.5F));
    list.AddCircle(*middle, reach, IM_COL32(0, 0, 0, 220), 0, t.line_px(6));
    list.AddCircle(*middle, reach, IM_COL32(255, 255, 255, 255), 0, t.line_px(3));
    const std::string words = part.refdes + " " + verdict_words(part);
    const ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, words.c_str());
    const ImVec2 at(std::round(middle->x - size.x / 2), std::round(middle->y + reach + t.grid(1)));
    list.AddRectFilled(ImVec2(at.x - t.grid(1.5F), at.y - t.grid(0.5F)), ImVec2(at.x + size.x + t.grid(1.5F), at.y + size.y + t.grid(0.5F)), IM_COL32(255, 255, 255, 255), 3 * t.scale);
    list.AddText(font, font->FontSize, at, IM_COL32(0, 0, 0, 255), words.c_str());
    scene.anchors.note("ringed-" + part.refdes, *middle, *middle);
  }
}

void draw_findings(const Scene& scene, const Compared& compared) {
  const Theme& t = scene.theme;
  int findings = 0;
  std::size_t unclear = 0;
  std::string unclear_names;
  for (const PartComparison& part : compared.comparison.parts) {
    if (part.verdict == PartVerdict::cannot_tell && ++unclear <= 20) unclear_names += (unclear > 1 ? ", " : "") + part.refdes;
    if (!is_finding(part.verdict)) continue;
    ++findings;
    char words[64];
    std::snprintf(words, sizeof words, "   confidence %.2f", part.confidence);
    const std::string name = "finding-" + part.refdes;
    if (button(scene, name.c_str(), std::string(symbol::warning) + "  " + part.refdes + "  " + verdict_words(part)))
      scene.intents.push(intent::ShowMark{part.mark});
    ImGui::SameLine(0, 0);
    quiet(scene, words);
  }
  if (findings == 0) text(scene, scene.fonts.body, t.text, "No part looks moved, missing or turned.");
  if (!compared.comparison.surroundings.empty()) {
    const SurroundingChange& most = compared.comparison.surroundings.front();
    char words[160];
    std::snprintf(words, sizeof words, "Beside the parts: %zu changed places, the largest %.1f mm² at %.1f, %.1f mm.", compared.comparison.surroundings.size(),
                  most.area_mm2, most.place.left_mm + most.place.width_mm / 2, most.place.low_mm + most.place.height_mm / 2);
    ImGui::PushTextWrapPos(0);
    text(scene, scene.fonts.small, t.doubtful, words);
    ImGui::PopTextWrapPos();
  }
  if (unclear > 0)
    quiet_wrapped(scene, "Can't be told from these photos, look yourself: " + unclear_names + (unclear > 20 ? " and " + std::to_string(unclear - 20) + " more." : "."));
}

}  // namespace

void draw_before_after(const Scene& scene, BenchState& state) {
  PhotoComparer& comparer = scene.comparer;
  const Theme& t = scene.theme;
  text(scene, scene.fonts.strong, t.text, "Before and after");
  if (comparer.working()) {
    char words[48];
    std::snprintf(words, sizeof words, "Comparing … %.0f %%", 100 * comparer.progress());
    quiet(scene, words);
    if (button(scene, "stop-comparing", "Stop")) comparer.stop();
    return;
  }
  const Compared* compared = scene.derived.compared().get();
  const ComparedPair pair = likely_pair(scene.desk, state.pane[0].photo, state.panes == Panes::one ? Id{} : state.pane[1].photo);
  if (compared) {
    quiet(scene, name_of(scene.desk, compared->before) + "  →  " + name_of(scene.desk, compared->after));
    draw_findings(scene, *compared);
    quiet_wrapped(scene, aid_words);
  }
  if (pair.before.empty()) {
    if (!compared) quiet_wrapped(scene, "Register a photo from before and one from after the work, then they can be compared part by part. Or show any two side by side.");
    return;
  }
  const bool same_pair = compared && compared->before == pair.before && compared->after == pair.after;
  if (!same_pair) {
    quiet(scene, name_of(scene.desk, pair.before) + "  →  " + name_of(scene.desk, pair.after));
    if (button(scene, "compare", "Compare part by part", true)) scene.intents.push(intent::Compare{pair.before, pair.after});
    return;
  }
  if (button(scene, "see-difference", "See the difference", state.panes == Panes::difference)) scene.intents.push(intent::SeeDifference{});
  ImGui::SameLine();
  if (button(scene, "compare", "Compare again")) scene.intents.push(intent::Compare{pair.before, pair.after});
}

void draw_patches(const Scene& scene, const Mark& mark) {
  const Compared* compared = scene.derived.compared().get();
  const PartComparison* part = compared ? compared->part(mark.id) : nullptr;
  if (!part) return;
  const DeskPhoto *before = scene.desk.find_photo(compared->before), *after = scene.desk.find_photo(compared->after);
  if (!before || !after) return;
  const Theme& t = scene.theme;
  const bool finding = is_finding(part->verdict);
  char words[64];
  std::snprintf(words, sizeof words, "  (confidence %.2f)", part->confidence);
  ImGui::PushTextWrapPos(0);
  text(scene, scene.fonts.strong, finding ? t.bad : t.text, (finding ? std::string(symbol::warning) + "  " : "") + "Since before: " + verdict_words(*part) + words);
  text(scene, scene.fonts.small, t.quiet, part->words);
  ImGui::PopTextWrapPos();
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float gap = t.grid(1), side = std::min((ImGui::GetContentRegionAvail().x - gap) / 2, t.grid(38));
  ImGui::Dummy(ImVec2(2 * side + gap, side));
  scene.anchors.note("patches");
  draw_patch(scene, *before, part->place, at, ImVec2(at.x + side, at.y + side), "before");
  draw_patch(scene, *after, part->place, ImVec2(at.x + side + gap, at.y), ImVec2(at.x + 2 * side + gap, at.y + side), "after");
  quiet_wrapped(scene, aid_words);
  separator(scene);
}

void draw_difference(const Scene& scene, const BenchState& state, const PaneLook& look) {
  const Compared* compared = scene.derived.compared().get();
  const bool fits = compared && look.map && look.photo && compared->difference &&
                    (look.photo->photo.id == compared->before || look.photo->photo.id == compared->after);
  ImDrawList& list = *look.list;
  if (!fits) return;
  const DifferencePicture& difference = *compared->difference;
  const unsigned gl = scene.textures.picture(std::shared_ptr<const Raster>(compared->difference, &difference.picture));
  list.PushClipRect(look.min, look.max, true);
  // In small squares: straight lines of the board stay straight in each, and the lens term bends between them.
  constexpr int columns = 24, rows = 16;
  const bool mirrored = compared->side == Side::bottom;
  const auto corner = [&](int column, int row) {
    const double u = double(column) / columns, v = double(row) / rows;
    return look.to_screen(BoardPoint{difference.place.left_mm + (mirrored ? 1 - u : u) * difference.place.width_mm,
                                     difference.place.low_mm + (1 - v) * difference.place.height_mm});
  };
  const auto texture = reinterpret_cast<ImTextureID>(static_cast<std::intptr_t>(gl));
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column) {
      const auto a = corner(column, row), b = corner(column + 1, row), c = corner(column + 1, row + 1), d = corner(column, row + 1);
      if (!a || !b || !c || !d) continue;
      const float u0 = float(column) / columns, u1 = float(column + 1) / columns, v0 = float(row) / rows, v1 = float(row + 1) / rows;
      list.AddImageQuad(texture, *a, *b, *c, *d, ImVec2(u0, v0), ImVec2(u1, v0), ImVec2(u1, v1), ImVec2(u0, v1));
    }
  // The marks again, on top.
  draw_scene(overlay_scene(scene.derived.shapes(look.photo->photo.side), *look.map, overlay_options(scene, state, look)),
             ImGuiCanvas{&list, look.screen_from_photo, look.min, look.max, scene.fonts.small, scene.fonts.small->FontSize, scene.theme.scale});
  ring_findings(scene, *compared, look);
  list.PopClipRect();
}

}  // namespace boardlore
