#include "bench/list_tie_view.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdio>

#include "bench/widgets.h"

namespace boardlore {
namespace {

std::string tied_name(const std::string& tie) { return tie.substr(0, tie.find('=')); }

bool is_tied(const ListPreview& preview, const std::string& name) {
  return std::any_of(preview.options.ties.begin(), preview.options.ties.end(), [&](const std::string& tie) { return tied_name(tie) == name; });
}

bool begins_with(const std::string& name, const std::string& typed) {
  return name.size() >= typed.size() && std::equal(typed.begin(), typed.end(), name.begin(), [](unsigned char a, unsigned char b) { return std::tolower(a) == std::tolower(b); });
}

double apart_mm(ImportPoint a, ImportPoint b) { return std::hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm); }

}  // namespace

std::vector<std::string> parts_to_click(const ListPreview& preview, std::optional<Side> shown, const std::string& typed, std::size_t count) {
  std::vector<std::string> names;
  std::vector<const ListedPlace*> places;
  for (const ListedPlace& place : preview.places)
    if (!shown || !place.side || *place.side == *shown) places.push_back(&place);
  if (!typed.empty()) {
    for (const ListedPlace* place : places)
      if (names.size() < count && begins_with(place->refdes, typed) && !is_tied(preview, place->refdes)) names.push_back(place->refdes);
    return names;
  }
  if (places.empty()) return names;
  std::vector<double> nearest(places.size(), 1e18);
  ImportPoint middle;
  for (const ListedPlace* place : places) middle.x_mm += place->at.x_mm / static_cast<double>(places.size()), middle.y_mm += place->at.y_mm / static_cast<double>(places.size());
  const auto chosen = [&](ImportPoint at) {
    for (std::size_t i = 0; i < places.size(); ++i) nearest[i] = std::min(nearest[i], apart_mm(places[i]->at, at));
  };
  bool any = false;
  for (const ListedPlace& place : preview.places)
    if (is_tied(preview, place.refdes)) chosen(place.at), any = true;
  for (std::size_t n = 0; n < std::min(count, places.size()); ++n) {
    std::size_t best = 0;
    double farthest = -1;
    for (std::size_t i = 0; i < places.size(); ++i) {
      const double far = any || n > 0 ? nearest[i] : apart_mm(places[i]->at, middle);
      if (far > farthest) farthest = far, best = i;
    }
    if (any || n > 0)
      if (farthest <= 0) break;
    names.push_back(places[best]->refdes);
    chosen(places[best]->at);
  }
  return names;
}

void pick_tie(const Scene&, BenchState& state, const PaneLook& look) {
  if (!look.hovered || state.gesture.panning || !look.cursor_board || state.tying.name.empty() || !ImGui::IsMouseClicked(0)) return;
  state.pane_in_hand = look.index;
  state.tying.clicked = *look.cursor_board;
}

std::string tie_hint(const BenchState& state) {
  return state.tying.name.empty() ? "Choose a part of the list to click" : "Tie the list: click the middle of " + state.tying.name;
}

void draw_list_on_photo(const Scene& scene, const ListPreview& preview, const PaneLook& look) {
  if (!look.map) return;
  constexpr std::size_t most_drawn = 5000;
  const float r = scene.theme.grid(1.25F);
  look.list->PushClipRect(look.min, look.max, true);
  ImFont* font = scene.fonts.small;
  const bool names = preview.on_board.size() <= 150;
  for (std::size_t i = 0; i < std::min(most_drawn, preview.on_board.size()); ++i) {
    const TiedPlace& place = preview.on_board[i];
    if (place.side && look.photo && *place.side != look.photo->photo.side) continue;
    const auto at = look.to_screen(place.at);
    if (!at || at->x < look.min.x || at->y < look.min.y || at->x > look.max.x || at->y > look.max.y) continue;
    const bool tied = is_tied(preview, place.refdes);
    look.list->AddCircle(*at, r, IM_COL32(0, 0, 0, 220), 0, scene.theme.line_px(4));
    look.list->AddCircle(*at, r, IM_COL32(255, 255, 255, 255), 0, scene.theme.line_px(2));
    if (tied) look.list->AddCircleFilled(*at, r * 0.5F, IM_COL32(255, 255, 255, 255));
    if (!names && !tied) continue;
    const std::string& name = place.refdes;
    const ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, name.c_str()), corner(at->x + r + 3, at->y - font->FontSize / 2);
    look.list->AddRectFilled(ImVec2(corner.x - 2, corner.y), ImVec2(corner.x + size.x + 2, corner.y + size.y), IM_COL32(0, 0, 0, 180), 2);
    look.list->AddText(font, font->FontSize, corner, IM_COL32(255, 255, 255, 255), name.c_str());
  }
  // Clicks that do not make a tie yet.
  for (const std::string& tie : preview.options.ties) {
    double x = 0, y = 0;
    if (std::sscanf(tie.c_str() + tie.find('=') + 1, "%lf,%lf", &x, &y) != 2) continue;
    if (const auto at = look.to_screen(BoardPoint{x, y})) {
      look.list->AddLine(ImVec2(at->x - 2 * r, at->y), ImVec2(at->x + 2 * r, at->y), IM_COL32(0, 0, 0, 220), scene.theme.line_px(4));
      look.list->AddLine(ImVec2(at->x, at->y - 2 * r), ImVec2(at->x, at->y + 2 * r), IM_COL32(0, 0, 0, 220), scene.theme.line_px(4));
      look.list->AddLine(ImVec2(at->x - 2 * r, at->y), ImVec2(at->x + 2 * r, at->y), IM_COL32(255, 255, 255, 255), scene.theme.line_px(2));
      look.list->AddLine(ImVec2(at->x, at->y - 2 * r), ImVec2(at->x, at->y + 2 * r), IM_COL32(255, 255, 255, 255), scene.theme.line_px(2));
    }
  }
  look.list->PopClipRect();
}

bool draw_tying(const Scene& scene, BenchState& state, ListPreview& preview) {
  const Theme& t = scene.theme;
  Tying& tying = state.tying;
  bool changed = false;
  const DeskPhoto* photo = scene.desk.find_photo(state.pane[0].photo);
  const std::optional<Side> side = photo ? std::optional(photo->photo.side) : std::nullopt;
  if (tying.name.empty() || is_tied(preview, tying.name)) {
    const auto next = parts_to_click(preview, side, "", 1);
    tying.name = next.empty() ? "" : next.front();
  }
  text(scene, scene.fonts.strong, t.text, tying.name.empty() ? "No part is left to click" : "Click the middle of " + tying.name + " on the photo");
  quiet_wrapped(scene, "Two parts tie the list, three show whether it is mirrored and how well it fits. Or choose another part:");
  field(scene, "tie-filter", "designator", tying.filter, t.grid(30));
  for (const std::string& name : parts_to_click(preview, side, tying.filter, 5)) {
    if (ImGui::GetItemRectMax().x + t.grid(16) > ImGui::GetWindowPos().x + ImGui::GetContentRegionMax().x) break;
    ImGui::SameLine();
    if (button(scene, ("tie-" + name).c_str(), name, name == tying.name)) tying.name = name, tying.filter.clear();
  }
  std::string drop;
  if (!preview.options.ties.empty()) {
    ImGui::AlignTextToFramePadding();
    quiet(scene, "Clicked");
    float at = t.grid(18);
    const float right = ImGui::GetCursorPosX() + ImGui::GetContentRegionAvail().x;
    for (const std::string& tie : preview.options.ties) {
      const std::string name = tied_name(tie), words = name + "  " + symbol::cross;
      // Four a row at most widths: a row that is full goes on below.
      const float wide = scene.fonts.body->CalcTextSizeA(scene.fonts.body->FontSize, FLT_MAX, 0, words.c_str()).x + t.grid(6);
      if (at + wide <= right || at <= t.grid(18)) ImGui::SameLine(at);
      else at = 0;
      if (button(scene, ("untie-" + name).c_str(), words)) drop = name;
      tooltip(scene, "At " + tie.substr(tie.find('=') + 1) + " mm: not there after all");
      at += ImGui::GetItemRectSize().x + t.grid(1);
    }
  }
  if (!drop.empty()) {
    std::erase_if(preview.options.ties, [&](const std::string& tie) { return tied_name(tie) == drop; });
    tying.name = drop, changed = true;
  }
  if (tying.clicked && !tying.name.empty()) {
    char place[96];
    std::snprintf(place, sizeof place, "%.3f,%.3f", tying.clicked->x_mm, tying.clicked->y_mm);
    std::erase_if(preview.options.ties, [&](const std::string& tie) { return tied_name(tie) == tying.name; });
    preview.options.ties.push_back(tying.name + "=" + place);
    changed = true;
  }
  tying.clicked.reset();
  return changed;
}

}  // namespace boardlore
