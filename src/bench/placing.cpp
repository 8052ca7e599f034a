#include "bench/placing.h"

#include <SDL_events.h>

#include <cmath>

#include "bench/command_table.h"
#include "bench/shaping.h"
#include "bench/x11_selection.h"
#include "editing/mark_rules.h"
#include "geometry/package_placing.h"
#include "overlay/canvas_imgui.h"

namespace boardlore {
namespace {

constexpr float drag_starts_px = 4;

std::vector<MarkPtr> chosen(const Scene& scene, const BenchState& state) {
  std::vector<MarkPtr> marks;
  for (const Id& id : state.selected)
    if (MarkPtr mark = scene.layer().marks.find(id)) marks.push_back(std::move(mark));
  return marks;
}

std::string name_of(const std::vector<MarkPtr>& marks) {
  return marks.size() == 1 ? spoken_name(*marks.front()) : std::to_string(marks.size()) + " marks";
}

void place(const Scene& scene, BenchState& state, const PaneLook& look, Mark mark) {
  mark.id = scene.new_id();
  mark.side = look.photo->photo.side;
  mark.changed_at = scene.now();
  if (look.map) mark.place_error_mm = std::round(look.map->error_mm(mark.at) * 1000) / 1000;
  if (mark.kind == MarkKind::part) {
    mark.refdes = counted_on(scene.layer(), state.last_refdes);
    if (!mark.refdes.empty()) state.last_refdes = mark.refdes;
    state.focus_name = mark.refdes.empty();
  } else if (mark.kind == MarkKind::note) {
    state.focus_name = true;
  }
  const std::string what = mark.refdes.empty() ? kind_words(mark.kind) : mark.refdes;
  select_only(state, mark.id);
  scene.intents.commit("place " + what, {PlaceMark{std::move(mark)}});
  state.gesture.picked.clear();
}

// Ghosts in the colours of the overlay: what lies in `marks` now, drawn as chosen.
void draw_ghosts(const Scene& scene, const PaneLook& look, const std::vector<MarkPtr>& marks) {
  if (!look.map) return;
  BoardShapes shapes;
  OverlayOptions options;
  options.zoom = look.screen_from_photo.zoom() / scene.theme.scale;  // what is small is so in points of the eye
  options.labels = LabelDensity::none;
  for (const MarkPtr& mark : marks) {
    auto shape = std::make_shared<const MarkShape>(mark_shape_of(mark));
    BoardBox box{mark->at.x_mm, mark->at.y_mm, mark->at.x_mm, mark->at.y_mm};
    for (const BoardPoint p : shape->outline) {
      box.left_mm = std::min(box.left_mm, p.x_mm), box.right_mm = std::max(box.right_mm, p.x_mm);
      box.bottom_mm = std::min(box.bottom_mm, p.y_mm), box.top_mm = std::max(box.top_mm, p.y_mm);
    }
    shapes.shapes.push_back(std::move(shape));
    shapes.boxes.push_back(box);
    options.selected.insert(mark->id);
  }
  look.list->PushClipRect(look.min, look.max, true);
  draw_scene(overlay_scene(shapes, *look.map, options),
             ImGuiCanvas{look.list, look.screen_from_photo, look.min, look.max, scene.fonts.small, scene.fonts.small->FontSize, scene.theme.scale});
  look.list->PopClipRect();
}

void draw_line_ghost(const Theme& t, const PaneLook& look, const std::vector<BoardPoint>& points, bool closed) {
  std::vector<ImVec2> line;
  for (const BoardPoint p : points)
    if (const auto at = look.to_screen(p)) line.push_back(*at);
  look.list->PushClipRect(look.min, look.max, true);
  const int count = static_cast<int>(line.size());
  const ImDrawFlags flags = closed ? ImDrawFlags_Closed : ImDrawFlags_None;
  look.list->AddPolyline(line.data(), count, IM_COL32(0, 0, 0, 220), flags, t.line_px(4));
  look.list->AddPolyline(line.data(), count, IM_COL32(255, 255, 255, 255), flags, t.line_px(2));
  for (const ImVec2 p : line) {
    look.list->AddCircleFilled(p, 4 * t.scale, IM_COL32(0, 0, 0, 255));
    look.list->AddCircleFilled(p, 2.5F * t.scale, IM_COL32(255, 255, 255, 255));
  }
  look.list->PopClipRect();
}

Mark moved_by(const Mark& mark, double dx_mm, double dy_mm) {
  Mark moved = mark;
  moved.at = {mark.at.x_mm + dx_mm, mark.at.y_mm + dy_mm};
  return moved;
}

void use_select(const Scene& scene, BenchState& state, const PaneLook& look) {
  Gesture& g = state.gesture;
  const ImGuiIO& io = ImGui::GetIO();
  if (look.hovered && !g.panning && ImGui::IsMouseClicked(0)) {
    state.pane_in_hand = look.index;
    if (look.mark_under && look.cursor_board) {
      const Id id = look.mark_under->id;
      if (io.KeyCtrl || io.KeyShift) {
        if (state.selected.erase(id) == 0) state.selected.insert(id), state.shown = id;
      } else if (!state.selected.contains(id)) {
        select_only(state, id);
      } else {
        state.shown = id;
      }
      g.pressed_on_mark = true;
      g.pressed_mark = id;
      g.move_from = *look.cursor_board;
    } else {
      if (!io.KeyCtrl && !io.KeyShift) state.selected.clear(), state.shown = Id{};
      g.boxing = true;
      g.box_from = look.cursor;
    }
  }
  if (state.pane_in_hand != look.index) return;
  const bool dragged = ImGui::IsMouseDragging(0, drag_starts_px);
  if (g.pressed_on_mark && dragged && !state.selected.empty()) g.moving = true;
  if (g.moving && look.map) {
    if (const auto here = look.map->board_from(look.cursor)) {
      const double dx = here->x_mm - g.move_from.x_mm, dy = here->y_mm - g.move_from.y_mm;
      std::vector<MarkPtr> ghosts;
      for (const MarkPtr& mark : chosen(scene, state)) ghosts.push_back(std::make_shared<const Mark>(moved_by(*mark, dx, dy)));
      draw_ghosts(scene, look, ghosts);
      if (!ImGui::IsMouseDown(0)) {
        std::vector<Edit> edits;
        for (const MarkPtr& ghost : ghosts)
          edits.push_back(MoveMark{ghost->id, {std::round(ghost->at.x_mm * 1000) / 1000, std::round(ghost->at.y_mm * 1000) / 1000}});
        const std::string name = "move " + name_of(ghosts);
        scene.intents.commit(name, std::move(edits));
      }
    }
  }
  if (g.boxing && dragged) {
    const ImVec2 from = look.to_screen(g.box_from), to = look.to_screen(look.cursor);
    look.list->AddRectFilled(from, to, IM_COL32(255, 255, 255, 28));
    look.list->AddRect(from, to, IM_COL32(0, 0, 0, 220), 0, 0, scene.theme.line_px(3));
    look.list->AddRect(from, to, IM_COL32(255, 255, 255, 255), 0, 0, scene.theme.line_px(1));
  }
  if (g.boxing && !ImGui::IsMouseDown(0)) {
    const ImVec2 from = look.to_screen(g.box_from), to = look.to_screen(look.cursor);
    if (look.map && std::hypot(from.x - to.x, from.y - to.y) > drag_starts_px) {
      const PhotoRect rect{std::min(g.box_from.x_px, look.cursor.x_px), std::min(g.box_from.y_px, look.cursor.y_px),
                           std::max(g.box_from.x_px, look.cursor.x_px), std::max(g.box_from.y_px, look.cursor.y_px)};
      for (const Id& id : marks_in(scene.derived.shapes(look.photo->photo.side), *look.map, rect, OverlayOptions{}))
        state.selected.insert(id), state.shown = id;
    }
  }
  if (!ImGui::IsMouseDown(0)) g.boxing = g.moving = g.pressed_on_mark = false;
}

std::optional<Mark> made_by(const BenchState& state, const std::vector<BoardPoint>& points) {
  switch (state.tool) {
    case Tool::part: return points.size() == 3 ? part_from_corners(points[0], points[1], points[2]) : std::nullopt;
    case Tool::circle: return points.size() == 2 ? keepout_from_circle(points[0], points[1]) : std::nullopt;
    case Tool::probe:
    case Tool::note: {
      if (points.size() != 1) return std::nullopt;
      Mark mark;
      mark.kind = state.tool == Tool::probe ? MarkKind::probe : MarkKind::note;
      mark.at = {std::round(points[0].x_mm * 1000) / 1000, std::round(points[0].y_mm * 1000) / 1000};
      return mark;
    }
    default: return std::nullopt;
  }
}

void close_keepout(const Scene& scene, BenchState& state, const PaneLook& look) {
  if (auto mark = keepout_from_points(state.gesture.picked)) place(scene, state, look, std::move(*mark));
}

void place_package(const Scene& scene, BenchState& state, const PaneLook& look, const std::vector<BoardPoint>& points) {
  state.gesture.picked.clear();
  const auto pads = pads_to_click(state.last_package);
  if (!pads) return scene.intents.push(intent::Say{to_text(pads.problem()), true});
  const Side side = look.photo->photo.side;
  const double px_per_mm = look.map->px_per_mm(points[0]);
  const auto placed = package_from_two_pads(state.last_package, side, {(*pads)[0], points[0]}, {(*pads)[1], points[1]},
                                            px_per_mm > 0 ? 2 / px_per_mm : 0.1);
  if (!placed) return scene.intents.push(intent::Say{to_text(placed.problem()), true});
  for (const std::string& note : placed->notes) scene.intents.push(intent::Say{note, !placed->pitch_fits});
  Mark mark;
  mark.kind = MarkKind::part;
  mark.at = {std::round(placed->at.x_mm * 1000) / 1000, std::round(placed->at.y_mm * 1000) / 1000};
  mark.rotation_deg = placed->square_rotation_deg.value_or(placed->rotation_deg);
  mark.package = state.last_package;
  place(scene, state, look, std::move(mark));
}

void use_placing_tool(const Scene& scene, BenchState& state, const PaneLook& look) {
  if (!look.map || !look.hovered || state.gesture.panning) return;
  std::vector<BoardPoint> points = state.gesture.picked;
  if (!look.cursor_board) return;
  points.push_back(*look.cursor_board);
  // The rubber band to where a click would be.
  if (state.tool == Tool::part && points.size() == 3) {
    if (const auto ghost = part_from_corners(points[0], points[1], points[2]))
      draw_ghosts(scene, look, {std::make_shared<const Mark>(*ghost)});
  } else if (state.tool == Tool::circle && points.size() == 2) {
    if (const auto ghost = keepout_from_circle(points[0], points[1]))
      draw_ghosts(scene, look, {std::make_shared<const Mark>(*ghost)});
  } else if (points.size() > 1) {
    draw_line_ghost(scene.theme, look, points, state.tool == Tool::keepout && points.size() > 2);
  }
  if (!ImGui::IsMouseClicked(0)) return;
  state.pane_in_hand = look.index;
  if (state.tool == Tool::keepout && points.size() > 3) {
    // A click on the first point, or two in one place, closes the ring.
    const auto first = look.to_screen(points.front()), last = look.to_screen(points[points.size() - 2]);
    const ImVec2 mouse = ImGui::GetIO().MousePos;
    const float reach = 8 * scene.theme.scale;
    const auto near = [&](const std::optional<ImVec2>& p) { return p && std::hypot(p->x - mouse.x, p->y - mouse.y) < reach; };
    if (near(first) || near(last)) return close_keepout(scene, state, look);
  }
  state.gesture.picked = points;
  if (state.tool == Tool::package && points.size() == 2) return place_package(scene, state, look, points);
  if (auto mark = made_by(state, points)) {
    if (mark->kind == MarkKind::probe) {
      mark->refdes = counted_on(scene.layer(), "TP0");
    }
    place(scene, state, look, std::move(*mark));
  } else if ((state.tool == Tool::part && points.size() == 3) || (state.tool == Tool::circle && points.size() == 2)) {
    state.gesture.picked.pop_back();
    scene.intents.push(intent::Say{"That point lies on the line already drawn: click farther out.", true});
  }
}

void turn_chosen(const Scene& scene, const BenchState& state, double degrees) {
  std::vector<Edit> edits;
  const auto marks = chosen(scene, state);
  for (const MarkPtr& mark : marks) {
    Mark turned = *mark;
    turned.rotation_deg = std::remainder(turned.rotation_deg + degrees, 360);
    if (turned.rotation_deg == -180) turned.rotation_deg = 180;
    turned.changed_at = scene.now();
    edits.push_back(ChangeMark{std::move(turned), ""});
  }
  if (!edits.empty()) scene.intents.commit("turn " + name_of(marks), std::move(edits));
}

void nudge_chosen(const Scene& scene, const BenchState& state, const PaneLook& look, ImVec2 direction, double step_mm) {
  if (!look.map) return;
  std::vector<Edit> edits;
  const auto marks = chosen(scene, state);
  for (const MarkPtr& mark : marks) {
    const auto here = look.to_screen(mark->at);
    if (!here) continue;
    const auto there = look.map->board_from(
        look.screen_from_photo.photo_from_screen({here->x + direction.x, here->y + direction.y}));
    if (!there) continue;
    edits.push_back(MoveMark{mark->id, nudged(mark->at, there->x_mm - mark->at.x_mm, there->y_mm - mark->at.y_mm, step_mm)});
  }
  if (!edits.empty()) scene.intents.commit("nudge " + name_of(marks), std::move(edits));
}

void pin1_here(const Scene& scene, BenchState& state, const PaneLook& look) {
  if (!look.map || !look.cursor_board) return;
  MarkPtr part = scene.layer().marks.find(state.shown);
  if (look.mark_under && look.mark_under->kind == MarkKind::part) part = look.mark_under;
  if (part && part->kind == MarkKind::part && part->side == look.photo->photo.side) {
    Mark changed = *part;
    changed.pin1 = offset_of(*part, *look.cursor_board);
    changed.changed_at = scene.now();
    select_only(state, part->id);
    scene.intents.commit("pin 1 of " + spoken_name(*part), {ChangeMark{std::move(changed), ""}});
    return;
  }
  Mark mark;
  mark.kind = MarkKind::pin1;
  mark.at = *look.cursor_board;
  place(scene, state, look, std::move(mark));
}

void paste(const Scene& scene, BenchState& state, const PaneLook& look) {
  if (state.clipboard.empty() || !look.cursor_board || !look.photo) return;
  const BoardPoint origin = state.clipboard.front().at;
  std::vector<Edit> edits;
  std::set<Id> placed;
  Layer counting = scene.layer();
  for (Mark mark : state.clipboard) {
    mark.id = scene.new_id();
    mark.side = look.photo->photo.side;
    mark.at = {look.cursor_board->x_mm + mark.at.x_mm - origin.x_mm, look.cursor_board->y_mm + mark.at.y_mm - origin.y_mm};
    if (!mark.refdes.empty()) mark.refdes = counted_on(counting, mark.refdes);
    if (mark.kind == MarkKind::part) state.last_refdes = mark.refdes;
    mark.changed_at = scene.now();
    mark.notes.clear();
    mark.samples.clear();
    placed.insert(mark.id);
    state.shown = mark.id;
    counting.marks = counting.marks.with(std::make_shared<const Mark>(mark));
    edits.push_back(PlaceMark{std::move(mark)});
  }
  state.selected = std::move(placed);
  scene.intents.commit(edits.size() == 1 ? "paste a copy" : "paste " + std::to_string(edits.size()) + " copies", std::move(edits));
}

}  // namespace

void select_only(BenchState& state, const Id& mark) {
  state.selected = {mark};
  state.shown = mark;
}

void choose_tool(BenchState& state, Tool tool) {
  state.tool = tool;
  state.gesture = Gesture{};
}

bool is_placing(const BenchState& state) { return state.tool != Tool::select || state.registering.on || state.tying.on || state.gesture.moving; }

void use_tool(const Scene& scene, BenchState& state, const PaneLook& look) {
  if (!look.photo || look.width_px == 0) return;
  if (state.tool == Tool::select)
    use_select(scene, state, look);
  else
    use_placing_tool(scene, state, look);
}

void use_mark_keys(const Scene& scene, BenchState& state, const PaneLook& look) {
  if (!scene.desk.open) return;
  const std::pair<Command, Tool> tools[] = {
      {Command::select_tool, Tool::select}, {Command::part_tool, Tool::part},   {Command::package_tool, Tool::package},
      {Command::keepout_tool, Tool::keepout}, {Command::circle_tool, Tool::circle}, {Command::probe_tool, Tool::probe},
      {Command::note_tool, Tool::note}};
  for (const auto& [command, tool] : tools)
    if (pressed(command)) choose_tool(state, tool);
  if (pressed(Command::paste)) {
    // Whatever was copied last: marks here, or something in another program. That one is never asked for text first: it
    // may send its picture as such in pieces, which SDL does not take, and then answers nobody for waiting.
    const auto ours = [&] {
      if (state.clipboard.empty() || state.clipboard_owner != clipboard_owner()) return false;
      const char* words = ImGui::GetClipboardText();
      return words && state.clipboard_words == words;
    };
    if (ours()) paste(scene, state, look);
    else scene.intents.push(intent::PasteClipboard{});
  }
  if (!look.photo) return;
  if (pressed(Command::pin1_here)) pin1_here(scene, state, look);
  if (pressed(Command::accept) && state.tool == Tool::keepout) close_keepout(scene, state, look);
  if (pressed(Command::select_all)) {
    state.selected.clear();
    scene.layer().marks.each([&](const MarkPtr& mark) {
      if (mark->side == look.photo->photo.side) state.selected.insert(mark->id);
    });
  }
  if (state.selected.empty()) return;
  if (pressed(Command::turn_mark)) turn_chosen(scene, state, -90);  // clockwise on the top, as it is seen
  if (pressed(Command::turn_mark_back)) turn_chosen(scene, state, 90);
  if (pressed(Command::rename)) state.focus_name = true, state.card_folded = false;
  if (pressed(Command::copy)) {
    state.clipboard.clear();
    for (const MarkPtr& mark : chosen(scene, state)) state.clipboard.push_back(*mark);
    state.clipboard_words = name_of(chosen(scene, state));
    ImGui::SetClipboardText(state.clipboard_words.c_str());
    SDL_PumpEvents();  // sends what SDL only wrote down: another connection asks who the owner is
    state.clipboard_owner = clipboard_owner();
  }
  if (pressed(Command::remove)) {
    const auto marks = chosen(scene, state);
    std::vector<Edit> edits;
    for (const MarkPtr& mark : marks) edits.push_back(RemoveMark{mark->id});
    if (!edits.empty()) scene.intents.commit("delete " + name_of(marks), std::move(edits));
    state.selected.clear();
    state.shown = Id{};
  }
  constexpr double near_mm = 0.1, far_mm = 1;
  const struct {
    Command command;
    ImVec2 direction;
    double step_mm;
  } nudges[] = {{Command::nudge_left, {-1, 0}, near_mm},      {Command::nudge_right, {1, 0}, near_mm},
                {Command::nudge_up, {0, -1}, near_mm},        {Command::nudge_down, {0, 1}, near_mm},
                {Command::nudge_left_far, {-1, 0}, far_mm},   {Command::nudge_right_far, {1, 0}, far_mm},
                {Command::nudge_up_far, {0, -1}, far_mm},     {Command::nudge_down_far, {0, 1}, far_mm}};
  for (const auto& nudge : nudges)
    if (pressed(nudge.command)) nudge_chosen(scene, state, look, nudge.direction, nudge.step_mm);
}

std::string tool_hint(const BenchState& state, bool registered) {
  const std::size_t n = state.gesture.picked.size();
  if (state.tool != Tool::select && !registered) return "This photo is not registered yet: press G first.";
  switch (state.tool) {
    case Tool::select: return state.selected.empty() ? "" : "Drag or arrow keys move, R turns, 1 sets pin 1";
    case Tool::part:
      return n == 0 ? "Part: click one corner of the body" : n == 1 ? "Part: click the next corner along the edge" : "Part: click the opposite edge";
    case Tool::package: {
      const auto pads = pads_to_click(state.last_package);
      const std::string package = state.last_package.name.empty() ? "Part" : state.last_package.name;
      return package + ": click pad " + (pads ? (*pads)[n == 0 ? 0 : 1] : n == 0 ? "1" : "2");
    }
    case Tool::keepout: return n < 3 ? "Keep-out: click its corners one by one" : "Keep-out: Enter or a click on the first corner closes it";
    case Tool::circle: return n == 0 ? "Keep-out: click the middle" : "Keep-out: click the edge";
    case Tool::probe: return "Probe point: click where the lead goes";
    case Tool::note: return "Note: click what it is about";
  }
  return {};
}

}  // namespace boardlore
