#include "bench/found_view.h"

#include <cmath>
#include <cstdio>

#include "bench/at_work_line.h"
#include "bench/command_table.h"
#include "bench/fiducials_view.h"
#include "bench/side_by_side.h"
#include "bench/widgets.h"

namespace boardlore {
namespace {

const DeskPhoto* photo_called(const DeskView& desk, const std::string& file) {
  for (const DeskPhoto& entry : desk.photos)
    if (entry.photo.file == file) return &entry;
  return nullptr;
}

// A photo taken for the top when it was dropped may show the bottom: what was found decides.
void turn_to_side(const Photo& photo, bool reference, Side side, std::vector<Edit>& edits) {
  if (photo.side == side) return;
  Photo turned = photo;
  turned.side = side;
  turned.registration.reset();
  edits.push_back(PutPhoto{std::move(turned), reference});
}

std::string figure(const char* format, double value) {
  char words[64];
  std::snprintf(words, sizeof words, format, value);
  return words;
}

void row(const Scene& scene, const std::string& caption, const std::string& value) {
  quiet(scene, caption);
  ImGui::SameLine(scene.theme.grid(32));
  text(scene, scene.fonts.body, scene.theme.text, shortened(scene.fonts.body, value, ImGui::GetContentRegionAvail().x));
}

}  // namespace

void preview_found(const Scene& scene, const BenchState& state, const PlaceFinder& finder) {
  if (state.registering.on) return;
  if (const AutoReport* report = finder.found(state.pane[0].photo))
    scene.derived.show_instead(state.pane[0].photo, report->registration, report->side);
}

void draw_found(const Scene& scene, BenchState& state, PlaceFinder& finder) {
  const Theme& t = scene.theme;
  const DeskPhoto* photo = scene.desk.find_photo(state.pane[0].photo);
  const AutoReport* report = photo ? finder.found(photo->photo.id) : nullptr;
  if (!report) return;
  heading(scene, "Its place was found");
  quiet(scene, photo->photo.file);
  row(scene, "side", std::string(side_name(report->side)));
  row(scene, "found on", report->onto);
  row(scene, "confidence", figure("%.2f", report->confidence));
  row(scene, "fits", std::to_string(report->inliers) + " of " + std::to_string(report->tried) + " patches");
  row(scene, "they cover", figure("%.0f %% of the board", 100 * report->coverage));
  row(scene, "residual", figure("%.3f mm rms", report->rms_mm));
  if (report->leave_out_mm) row(scene, "left out", figure("%.3f mm rms", *report->leave_out_mm));
  if (report->lens_k1 != 0) row(scene, "lens", figure("one radial term, %.3f", report->lens_k1));
  separator(scene);
  quiet_wrapped(scene, "Look at the outlines on the photo, at the board's edges too; blink against the photo it was found on. "
                       "The figures are an aid, not the last word.");
  const DeskPhoto* onto = photo_called(scene.desk, report->onto);
  const bool blinking = state.panes == Panes::blink;
  if (onto && button(scene, "blink-found", blinking ? "Stop blinking" : "Blink against it", blinking)) {
    if (!blinking) state.pane[1].photo = onto->photo.id;
    choose_panes(scene, state, Panes::blink);
  }
  separator(scene);
  if (button(scene, "accept-found", "Use it", true) || (state.tool == Tool::select && pressed(Command::accept))) {
    std::vector<Edit> edits;
    turn_to_side(photo->photo, photo->reference, report->side, edits);
    edits.push_back(RegisterPhoto{photo->photo.id, report->registration});
    scene.intents.commit("register " + photo->photo.file, std::move(edits));
    state.panes = Panes::one;
    return finder.settled(photo->photo.id);
  }
  ImGui::SameLine();
  if (button(scene, "correct-found", "Correct it")) {
    std::vector<Edit> edits;
    turn_to_side(photo->photo, photo->reference, report->side, edits);
    if (!edits.empty()) scene.intents.commit("photo shows the " + std::string(side_name(report->side)), std::move(edits));
    start_registering(scene, state, *photo);
    state.registering.picked = report->registration.fiducials;
    return finder.settled(photo->photo.id);
  }
  ImGui::SameLine();
  if (button(scene, "reject-found", "Reject it")) {
    state.panes = Panes::one;
    finder.settled(photo->photo.id);
    start_registering(scene, state, *photo);
  }
  static_cast<void>(t);
}

void draw_finding(const Scene& scene, PlaceFinder& finder, ImVec2 middle_top) {
  const DeskPhoto* photo = scene.desk.find_photo(finder.under_way());
  if (!photo) return;
  std::string words = "Looking for the place of " + shortened(scene.fonts.body, std::filesystem::path(photo->photo.file).filename().string(), scene.theme.grid(50)) +
                      " on the board …";
  if (finder.waiting() > 0) words += "  (" + std::to_string(finder.waiting()) + " more)";
  if (draw_at_work(scene, "finding", words, finder.progress(), middle_top)) finder.stop();
}

}  // namespace boardlore
