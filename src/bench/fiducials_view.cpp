#include "bench/fiducials_view.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "bench/command_table.h"
#include "bench/widgets.h"
#include "overlay/canvas_imgui.h"

namespace boardlore {
namespace {

std::string mm(double value) {
  char words[32];
  std::snprintf(words, sizeof words, value < 0.0995 ? "%.3f mm" : "%.2f mm", value);
  return words;
}

std::optional<Result<FitReport>> fit_now(const BenchState& state, Side side) {
  if (state.registering.picked.size() < 2) return std::nullopt;
  return fit_registration(state.registering.picked, side);
}

// The next wanted fiducial that has no pick yet, from `from` on and round again.
std::optional<std::size_t> next_open(const std::vector<WantedFiducial>& wanted, const Registering& registering,
                                     std::size_t from) {
  for (std::size_t step = 0; step < wanted.size(); ++step) {
    const std::size_t i = (from + step) % wanted.size();
    const bool picked = std::any_of(registering.picked.begin(), registering.picked.end(),
                                    [&](const Fiducial& f) { return f.board == wanted[i].board; });
    if (!picked) return i;
  }
  return std::nullopt;
}

void cross(ImDrawList& list, ImVec2 at, float r, ImU32 colour, float width) {
  const float gap = r * 0.3F;
  list.AddLine(ImVec2(at.x - r, at.y), ImVec2(at.x - gap, at.y), colour, width);
  list.AddLine(ImVec2(at.x + gap, at.y), ImVec2(at.x + r, at.y), colour, width);
  list.AddLine(ImVec2(at.x, at.y - r), ImVec2(at.x, at.y - gap), colour, width);
  list.AddLine(ImVec2(at.x, at.y + gap), ImVec2(at.x, at.y + r), colour, width);
}

void target(ImDrawList& list, const Theme& t, ImVec2 at, float r) {
  cross(list, at, r, IM_COL32(0, 0, 0, 220), t.line_px(5));
  list.AddCircle(at, r * 0.6F, IM_COL32(0, 0, 0, 220), 0, t.line_px(4));
  cross(list, at, r, IM_COL32(255, 255, 255, 255), t.line_px(2));
  list.AddCircle(at, r * 0.6F, IM_COL32(255, 255, 255, 255), 0, t.line_px(2));
}

// The reference photo around the wanted fiducial, and the whole of it small in a corner: both "where about"
// and "where exactly".
void draw_inset(const Scene& scene, const BenchState& state, const WantedFiducial& wanted, float height) {
  const Theme& t = scene.theme;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const ImVec2 min = ImGui::GetCursorScreenPos(), max(min.x + ImGui::GetContentRegionAvail().x, min.y + height);
  const ImVec2 middle((min.x + max.x) / 2, (min.y + max.y) / 2);
  ImGui::Dummy(ImVec2(max.x - min.x, height));
  list.AddRectFilled(min, max, t.bench);
  const DeskPhoto* reference = scene.desk.find_photo(wanted.reference);
  if (reference) {
    const PhotoTextures::State loaded = scene.textures.ask(reference->path, true);
    if (!loaded.there) return;
    list.PushClipRect(min, max, true);
    Camera close;
    close.turn_rad = state.pane[0].camera.turn_rad;
    close.centre = wanted.on_reference;
    close.zoom = std::max(0.5, 14.0 * (max.x - min.x) / std::max(loaded.width_px, 1));
    close.zoom = std::min(close.zoom, 3.0);
    scene.textures.draw(list, reference->path, screen_from_photo(close, middle), min, max);
    target(list, t, middle, t.grid(5));
    list.PopClipRect();
    const float w = t.grid(26), h = w * static_cast<float>(loaded.height_px) / static_cast<float>(std::max(1, loaded.width_px));
    const ImVec2 small_min(min.x + t.grid(1), max.y - h - t.grid(1)), small_max(min.x + t.grid(1) + w, max.y - t.grid(1));
    list.PushClipRect(small_min, small_max, true);
    Camera far;
    fit(far, loaded.width_px, loaded.height_px, ImVec2(w, h), 0);
    const ImVec2 small_middle((small_min.x + small_max.x) / 2, (small_min.y + small_max.y) / 2);
    const ScreenFromPhoto map = screen_from_photo(far, small_middle);
    scene.textures.draw(list, reference->path, map, small_min, small_max);
    const ScreenPoint at = map(wanted.on_reference);
    target(list, t, ImVec2(static_cast<float>(at.x), static_cast<float>(at.y)), t.grid(2));
    list.PopClipRect();
    list.AddRect(small_min, small_max, IM_COL32(255, 255, 255, 200));
    return;
  }
  // No reference: the board's outline as it is seen from this side, the corner marked.
  const Board& board = scene.layer().board;
  const double w = board.width_mm.value_or(1), h = board.height_mm.value_or(1);
  const DeskPhoto* photo = scene.desk.find_photo(state.registering.photo);
  const bool mirrored = photo && photo->photo.side == Side::bottom;
  const double scale = std::min((max.x - min.x - t.grid(16)) / w, (height - t.grid(14)) / h);
  const auto at = [&](BoardPoint p) {
    const double x = mirrored ? w - p.x_mm : p.x_mm;
    return ImVec2(middle.x + static_cast<float>((x - w / 2) * scale), middle.y - static_cast<float>((p.y_mm - h / 2) * scale));
  };
  list.AddRectFilled(at({mirrored ? w : 0, h}), at({mirrored ? 0 : w, 0}), t.raised, 3);
  list.AddRect(at({mirrored ? w : 0, h}), at({mirrored ? 0 : w, 0}), t.quiet, 3, 0, t.line_px(2));
  const ImVec2 corner = at(wanted.board);
  list.AddCircleFilled(corner, t.grid(1.5F), t.strong);
  list.AddCircle(corner, t.grid(3), t.strong, 0, t.line_px(2));
  const std::string words = mirrored ? "bottom, as you see it" : "top, as you see it";
  const ImVec2 size = scene.fonts.small->CalcTextSizeA(scene.fonts.small->FontSize, FLT_MAX, 0, words.c_str());
  list.AddText(scene.fonts.small, scene.fonts.small->FontSize, ImVec2(middle.x - size.x / 2, middle.y - size.y / 2), t.quiet, words.c_str());
}

void draw_picks(const Scene& scene, BenchState& state, const Result<FitReport>* report) {
  const Theme& t = scene.theme;
  Registering& r = state.registering;
  for (std::size_t i = 0; i < r.picked.size(); ++i) {
    ImGui::PushID(static_cast<int>(i));
    const bool spoils = report && *report && (*report)->spoiler_index == i;
    std::string off = "–";
    // With no point to spare every residual is 0 and says nothing.
    if (report && *report && (*report)->registration.leave_one_out_mm && (*report)->residuals_mm.size() > i) off = mm((*report)->residuals_mm[i]);
    const float row_y = ImGui::GetCursorPosY();
    ImGui::SetCursorPosY(row_y + t.grid(1));
    text(scene, scene.fonts.body, spoils ? t.bad : t.text,
         shortened(scene.fonts.body, std::to_string(i + 1) + "  " + (r.picked[i].name.empty() ? "point" : r.picked[i].name),
                   ImGui::GetContentRegionAvail().x - t.grid(32)));
    ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - t.grid(29));
    ImGui::SetCursorPosY(row_y + t.grid(1));
    text(scene, scene.fonts.value, spoils ? t.bad : t.quiet, off);
    ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - t.grid(8));
    ImGui::SetCursorPosY(row_y);
    if (symbol_button(scene, ("unpick-" + std::to_string(i)).c_str(), symbol::cross, "Take this point away"))
      r.picked.erase(r.picked.begin() + static_cast<std::ptrdiff_t>(i--));
    ImGui::PopID();
  }
}

void finish(const Scene& scene, BenchState& state, const FitReport& report) {
  const std::string file = [&] {
    const DeskPhoto* photo = scene.desk.find_photo(state.registering.photo);
    return photo ? photo->photo.file : std::string();
  }();
  scene.intents.commit("register " + file, {RegisterPhoto{state.registering.photo, report.registration}});
  state.registering = Registering{};
}

void draw_size_or_distance(const Scene& scene, BenchState& state, const DeskPhoto& photo) {
  Registering& r = state.registering;
  quiet_wrapped(scene, "Millimetres need one thing known: the board's size, or a distance between two points you can see "
                       "(a connector's pitch, two mounting holes).");
  static_cast<void>(photo);
  r.by_distance = true;
  text(scene, scene.fonts.body, scene.theme.text, r.ends.empty()       ? "1  Click one end of the distance"
                                                  : r.ends.size() == 1 ? "1  Click the other end"
                                                                       : "1  Both ends are set");
  captioned_field(scene, "known-distance", "2  Distance in mm", "25.4", r.length, scene.theme.grid(30));
}

}  // namespace

std::vector<WantedFiducial> wanted_fiducials(const DeskView& desk, const Photo& photo) {
  const DeskPhoto* best = nullptr;
  for (const DeskPhoto& entry : desk.photos) {
    if (entry.made || entry.photo.id == photo.id || entry.photo.side != photo.side || !entry.photo.registration) continue;
    const std::size_t n = entry.photo.registration->fiducials.size();
    if (n < 2) continue;
    // The board's own photos before the job's, then the one with most fiducials.
    const auto worth = [](const DeskPhoto& e) { return std::pair(e.reference, e.photo.registration->fiducials.size()); };
    if (!best || worth(entry) > worth(*best)) best = &entry;
  }
  std::vector<WantedFiducial> wanted;
  if (best) {
    int number = 0;
    for (const Fiducial& f : best->photo.registration->fiducials)
      wanted.push_back({f.name.empty() ? "fiducial " + std::to_string(++number) : f.name, f.board, best->photo.id, f.photo});
    return wanted;
  }
  if (photo.registration && photo.registration->fiducials.size() >= 4) {
    // Its own, so that one that was taken away can be put back.
    int number = 0;
    for (const Fiducial& f : photo.registration->fiducials)
      wanted.push_back({f.name.empty() ? "fiducial " + std::to_string(++number) : f.name, f.board, photo.id, f.photo});
    return wanted;
  }
  if (!desk.snapshot.layer) return wanted;
  const Board& board = desk.snapshot.layer->board;
  if (!board.width_mm || !board.height_mm) return wanted;
  const double w = *board.width_mm, h = *board.height_mm;
  // Clockwise from the upper left as the technician sees this side.
  if (photo.side == Side::top)
    return {{"upper left corner", {0, h}, {}, {}}, {"upper right corner", {w, h}, {}, {}},
            {"lower right corner", {w, 0}, {}, {}}, {"lower left corner", {0, 0}, {}, {}}};
  return {{"upper left corner", {w, h}, {}, {}}, {"upper right corner", {0, h}, {}, {}},
          {"lower right corner", {0, 0}, {}, {}}, {"lower left corner", {w, 0}, {}, {}}};
}

void start_registering(const Scene& scene, BenchState& state, const DeskPhoto& photo) {
  if (photo.made) return scene.intents.push(intent::Say{"This picture was made of a registered photo: register that one.", true});
  state.registering = Registering{};
  state.registering.on = true;
  state.registering.photo = photo.photo.id;
  state.gesture = Gesture{};
  state.tool = Tool::select;
  state.card_folded = false;
  state.pane[0].photo = photo.photo.id;
  state.pane[0].camera.zoom = 0;  // fiducials lie far apart: the whole photo first
  state.panes = Panes::one;
  if (photo.photo.registration) state.registering.picked = photo.photo.registration->fiducials;
}

void preview_fit(const Scene& scene, const BenchState& state) {
  scene.derived.show_instead(Id{}, std::nullopt);
  if (!state.registering.on) return;
  const DeskPhoto* photo = scene.desk.find_photo(state.registering.photo);
  if (!photo) return;
  const auto report = fit_now(state, photo->photo.side);
  scene.derived.show_instead(photo->photo.id,
                             report && *report ? std::optional((*report)->registration) : std::nullopt);
}

void pick_fiducials(const Scene& scene, BenchState& state, const PaneLook& look) {
  Registering& r = state.registering;
  if (!look.photo || look.photo->photo.id != r.photo || look.width_px == 0) return;
  const float reach = 9 * scene.theme.scale;
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  const auto wanted = wanted_fiducials(scene.desk, look.photo->photo);
  if (look.hovered && !state.gesture.panning && ImGui::IsMouseClicked(0)) {
    r.dragging = -1;
    for (std::size_t i = 0; i < r.picked.size(); ++i) {
      const ImVec2 at = look.to_screen(r.picked[i].photo);
      if (std::hypot(at.x - mouse.x, at.y - mouse.y) < reach) r.dragging = static_cast<int>(i);
    }
    if (r.dragging < 0) {
      if (!wanted.empty()) {
        if (const auto next = next_open(wanted, r, r.wanted_index)) {
          r.picked.push_back({look.cursor, wanted[*next].board, wanted[*next].name, {}});
          r.dragging = static_cast<int>(r.picked.size()) - 1;
          r.wanted_index = *next + 1;
        }
      } else if (r.ends.size() < 2) {
        r.ends.push_back(look.cursor);
      } else {
        r.ends = {look.cursor};
        r.picked.clear();
      }
    }
  }
  if (r.dragging >= 0 && r.dragging < static_cast<int>(r.picked.size())) {
    // Pressed and moved before letting go: the point follows, the loupe shows where it is.
    if (ImGui::IsMouseDragging(0, 2)) r.picked[static_cast<std::size_t>(r.dragging)].photo = look.cursor;
    if (!ImGui::IsMouseDown(0)) r.dragging = -1;
  }
  if (wanted.empty() && r.ends.size() == 2) {
    char* end = nullptr;
    std::string number = r.length;
    std::replace(number.begin(), number.end(), ',', '.');
    const double length_mm = std::strtod(number.c_str(), &end);
    r.picked.clear();
    // The first click becomes the origin, the second lies along x: a frame of our own until the size is known.
    if (length_mm > 0 && std::isfinite(length_mm))
      r.picked = {{r.ends[0], {0, 0}, "first end", {}}, {r.ends[1], {length_mm, 0}, "second end", {}}};
  }
  look.list->PushClipRect(look.min, look.max, true);
  for (std::size_t i = 0; i < r.ends.size() && wanted.empty(); ++i) target(*look.list, scene.theme, look.to_screen(r.ends[i]), scene.theme.grid(3));
  for (std::size_t i = 0; i < r.picked.size(); ++i) {
    const ImVec2 at = look.to_screen(r.picked[i].photo);
    target(*look.list, scene.theme, at, scene.theme.grid(3));
    const std::string number = std::to_string(i + 1);
    const ImVec2 words(at.x + scene.theme.grid(3), at.y - scene.theme.grid(5));
    look.list->AddRectFilled(ImVec2(words.x - 3, words.y), ImVec2(words.x + scene.theme.grid(4), words.y + scene.fonts.small->FontSize), IM_COL32(0, 0, 0, 200), 3);
    look.list->AddText(scene.fonts.small, scene.fonts.small->FontSize, ImVec2(words.x + 2, words.y), IM_COL32(255, 255, 255, 255), number.c_str());
  }
  look.list->PopClipRect();
}

void draw_registering(const Scene& scene, BenchState& state) {
  const Theme& t = scene.theme;
  Registering& r = state.registering;
  const DeskPhoto* photo = scene.desk.find_photo(r.photo);
  if (!photo) {
    r = Registering{};
    return;
  }
  heading(scene, "Register the photo");
  quiet(scene, photo->photo.file);
  for (const Side side : {Side::top, Side::bottom}) {
    // Which side it shows decides the mirror, so it is asked here, where it matters.
    const bool on = photo->photo.side == side;
    if (side == Side::bottom) ImGui::SameLine(0, t.grid(1));
    if (choice(scene, side == Side::top ? "shows-top" : "shows-bottom", side == Side::top ? "Shows the top" : "Shows the bottom", on) && !on) {
      Photo changed = photo->photo;
      changed.side = side;
      changed.registration.reset();
      r.picked.clear();
      scene.intents.commit(std::string("photo shows the ") + std::string(side_name(side)), {PutPhoto{std::move(changed), photo->reference}});
    }
  }
  const auto wanted = wanted_fiducials(scene.desk, photo->photo);
  const auto report = fit_now(state, photo->photo.side);
  const auto next = next_open(wanted, r, r.wanted_index);
  if (!wanted.empty()) {
    if (next) {
      const WantedFiducial& fiducial = wanted[*next];
      quiet(scene, fiducial.reference.empty() ? "Click on the photo:" : "Click the same place on the photo:");
      text(scene, scene.fonts.strong, t.text, shortened(scene.fonts.strong, fiducial.name, ImGui::GetContentRegionAvail().x));
      draw_inset(scene, state, fiducial, t.grid(ImGui::GetWindowHeight() < 620 * t.scale ? 38 : 50));
      if (button(scene, "skip-fiducial", "Not to be seen here")) r.wanted_index = *next + 1;
    } else {
      quiet_wrapped(scene, "All points are set. Drag one to correct it; hold the button and the loupe shows where it is.");
    }
  } else {
    draw_size_or_distance(scene, state, *photo);
  }
  // The fit and what to do with it before the list, so that both are in sight in a low window.
  separator(scene);
  if (report && *report) {
    const Registration& fit = (*report)->registration;
    const char* model = fit.model == MapModel::homography ? "perspective" : fit.model == MapModel::affine ? "affine" : "similarity";
    quiet(scene, std::string("Fit: ") + model + " from " + std::to_string(fit.fiducials.size()) + " points");
    if (fit.leave_one_out_mm)
      text(scene, scene.fonts.value, t.text, "rms " + mm(fit.rms_mm) + "   left out " + mm(*fit.leave_one_out_mm));
    for (const std::string& note : (*report)->notes) quiet_wrapped(scene, as_sentence(note));
    if ((*report)->spoiler_index) {
      ImGui::PushTextWrapPos(0);
      text(scene, scene.fonts.small, t.bad, "Point " + std::to_string(*(*report)->spoiler_index + 1) + " does not belong to the others: look at it again.");
      ImGui::PopTextWrapPos();
    }
  } else if (report) {
    ImGui::PushTextWrapPos(0);
    text(scene, scene.fonts.small, t.bad, to_text(report->problem()));
    ImGui::PopTextWrapPos();
  }
  const bool ready = report && *report;
  if (button(scene, "accept-registration", "Use this registration", true, 0, ready) || (ready && pressed(Command::accept)))
    return finish(scene, state, **report);
  ImGui::SameLine();
  if (button(scene, "cancel-registration", "Cancel")) {
    r = Registering{};
    return;
  }
  if (std::any_of(scene.desk.photos.begin(), scene.desk.photos.end(), [&](const DeskPhoto& e) { return e.photo.registration && e.photo.id != photo->photo.id; }) &&
      button(scene, "find-place", "Let it find its place")) {
    scene.intents.push(intent::FindPlace{photo->photo.id});
    return;
  }
  separator(scene);
  draw_picks(scene, state, report ? &*report : nullptr);
}

std::string registering_hint(const DeskView& desk, const BenchState& state) {
  const DeskPhoto* photo = desk.find_photo(state.registering.photo);
  if (!photo) return {};
  const auto wanted = wanted_fiducials(desk, photo->photo);
  if (wanted.empty()) return "Click both ends of a known distance";
  const auto next = next_open(wanted, state.registering, state.registering.wanted_index);
  return next ? "Click: " + wanted[*next].name : "Drag a point to correct it, Enter to use the registration";
}

}  // namespace boardlore
