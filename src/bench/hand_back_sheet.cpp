#include "bench/hand_back_sheet.h"

#include <charconv>
#include <cstdio>

#include "bench/given_files.h"
#include "bench/widgets.h"
#include "record/hand_back.h"
#include "record/record_model.h"
#include "record/record_words.h"
#include "record/warranty.h"

namespace boardlore {
namespace {

std::optional<int> months_in(const std::string& words) {
  int months = 0;
  const auto [end, error] = std::from_chars(words.data(), words.data() + words.size(), months);
  if (error != std::errc{} || end != words.data() + words.size() || months < 0 || months > longest_warranty_months) return std::nullopt;
  return months;
}

void draw_record_buttons(const Scene& scene) {
  const float half = (ImGui::GetContentRegionAvail().x - scene.theme.grid(2)) / 2;
  separator(scene);
  text(scene, scene.fonts.strong, scene.theme.text, "Record");
  if (scene.records.working()) {
    char words[48];
    std::snprintf(words, sizeof words, "Making the record … %.0f %%", 100 * scene.records.progress());
    quiet(scene, words);
    if (button(scene, "stop-record", "Stop")) scene.records.stop();
    return;
  }
  if (button(scene, "record-owner", "For the owner", false, half)) scene.intents.push(intent::MakeRecord{Audience::owner});
  ImGui::SameLine();
  if (button(scene, "record-shop", "For the shop", false, half)) scene.intents.push(intent::MakeRecord{Audience::shop});
  quiet_wrapped(scene, "PDF and a page for the browser, into the job's folder. The owner's leaves out notes of the shop, sources, prices and other people's names.");
  draw_given_files(scene, "record-owner-file", "Made for the owner", scene.given.owner);
  draw_given_files(scene, "record-shop-file", "Made for the shop", scene.given.shop);
}

void draw_checks(const Scene& scene, HandBackSheet& sheet) {
  const Job& job = *scene.job();
  const auto change = [&](auto&& how, const std::string& name) {
    Job changed = job;
    how(changed);
    scene.intents.commit(name, {ChangeJob{std::move(changed), name}});
  };
  for (std::size_t i = 0; i < job.checks.size(); ++i) {
    const Check& check = job.checks[i];
    bool ticked = check.ticked_at.has_value();
    const std::string name = "check-" + std::to_string(i);
    if (tick_box(scene, name.c_str(), "", ticked))
      change([&](Job& changed) { changed.checks[i].ticked_at = ticked ? std::optional(scene.now()) : std::nullopt; }, "tick " + check.text);
    ImGui::SameLine();
    ImGui::PushTextWrapPos(0);
    text(scene, scene.fonts.body, ticked ? scene.theme.quiet : scene.theme.text, check.text);
    ImGui::PopTextWrapPos();
  }
  if (field(scene, "add-check", "Add a check, as: runs for an hour", sheet.new_check) && !sheet.new_check.empty())
    change([&](Job& changed) { changed.checks.push_back({std::exchange(sheet.new_check, {}), {}}); }, "add a check");
}

void draw_outcome(const Scene& scene, HandBackSheet& sheet) {
  const float end = ImGui::GetCursorPosX() + ImGui::GetContentRegionAvail().x, gap = scene.theme.grid(2);
  float x = ImGui::GetCursorPosX();
  for (const char* outcome : {"fixed", "not-fixed", "no-fault"}) {
    const bool chosen = sheet.outcome == outcome;
    const std::string words = spoken_outcome(outcome);
    ImFont* font = scene.fonts.strong;  // the wider one: choosing one moves none
    const float width = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, words.c_str()).x + 2 * ImGui::GetStyle().FramePadding.x;
    if (outcome != std::string_view("fixed") && x + gap + width <= end) ImGui::SameLine(0, gap), x += gap + width;
    else x = ImGui::GetCursorPosX() + width;
    if (choice(scene, (std::string("outcome-") + outcome).c_str(), words, chosen, width)) sheet.outcome = outcome;
  }
  const bool typed = captioned_field(scene, "warranty-months", "Warranty, months (0: none)", "12", sheet.months, scene.theme.grid(24));
  const std::optional<int> months = months_in(sheet.months);
  if (typed && !months) scene.faults.refuse("warranty-months", sheet.months, "Expected whole months, 0 to " + std::to_string(longest_warranty_months) + ".", "12");
  if (months && *months > 0)
    if (const Result<std::string> until = warranty_until(scene.now(), *months)) quiet(scene, "until " + *until);
  bool enter = false;  // in the reason: it is meant as the button
  if (!sheet.open.empty()) {
    captioned_field(scene, "hand-back-reason", "Why it is closed over what is open", "needed", sheet.reason);
    enter = entered() && !sheet.reason.empty() && !sheet.outcome.empty();
  }
  if (sheet.outcome.empty()) quiet(scene, "First choose how it went, above.");
  if (!button(scene, "hand-back", "Hand back", true, 0, !sheet.outcome.empty()) && !enter) return;
  if (!months) return scene.faults.refuse("warranty-months", sheet.months, "Expected whole months, 0 to " + std::to_string(longest_warranty_months) + ".", "12");
  if (!sheet.open.empty() && sheet.reason.empty()) return scene.faults.refuse("hand-back-reason", sheet.reason, "A reason is needed: points are open, and the record says why it was closed over them.");
  HandBackRequest request{sheet.outcome, *months, sheet.open.empty() ? std::string{} : sheet.reason, scene.technician, scene.now()};
  scene.intents.push(intent::Work{"hand back", [request](Folder& folder) -> Result<std::string> {
    const Result<Edit> edit = hand_back_edit(folder.now(), request);
    if (!edit) return edit.problem();
    if (const auto done = folder.commit(*edit); !done) return done.problem();
    if (const auto saved = folder.save(); !saved) return saved.problem();
    return std::string("Handed back. Ctrl+E exports what this job taught.");
  }});
}

void draw_closed(const Scene& scene, HandBackSheet& sheet) {
  const HandBack& back = *scene.job()->hand_back;
  text(scene, scene.fonts.strong, scene.theme.text, spoken_outcome(back.outcome));
  quiet(scene, "handed back " + spoken_time(back.at));
  if (back.warranty_months > 0) quiet(scene, "warranty until " + back.warranty_until);
  if (!back.reason.empty()) {
    quiet_wrapped(scene, "closed over open points: " + back.reason);
    for (std::size_t i = 0; i < sheet.open.size() && i < 8; ++i) quiet_wrapped(scene, "○  " + sheet.open[i]);
    if (sheet.open.size() > 8) quiet(scene, "and " + std::to_string(sheet.open.size() - 8) + " more");
  }
  separator(scene);
  captioned_field(scene, "addendum", "Add to the closed job", "what came up later", sheet.addendum);
  if (button(scene, "add-addendum", "Add", false, 0, !sheet.addendum.empty()))
    scene.intents.push(intent::Work{"addendum", [words = std::exchange(sheet.addendum, {}), by = scene.technician, at = scene.now(),
                                                     id = scene.new_id()](Folder& folder) -> Result<std::string> {
      const Result<Edit> edit = addendum_edit(folder.now(), words, by, at, id);
      if (!edit) return edit.problem();
      if (const auto done = folder.commit(*edit); !done) return done.problem();
      return std::string("Added.");
    }});
  captioned_field(scene, "reopen-reason", "Open the job again, because", "", sheet.reopen_reason);
  if (button(scene, "reopen", "Open again", false, 0, !sheet.reopen_reason.empty()))
    scene.intents.push(intent::Work{"reopen", [words = std::exchange(sheet.reopen_reason, {}), by = scene.technician, at = scene.now(),
                                                   id = scene.new_id()](Folder& folder) -> Result<std::string> {
      const Result<Edit> edit = reopen_edit(folder.now(), words, by, at, id);
      if (!edit) return edit.problem();
      if (const auto done = folder.commit(*edit); !done) return done.problem();
      return std::string("Open again; the earlier hand-back stays in the record.");
    }});
}

}  // namespace

void draw_hand_back_sheet(const Scene& scene, HandBackSheet& sheet) {
  if (sheet.of_job != scene.desk.snapshot.job || sheet.of_layer != scene.desk.snapshot.layer) {
    sheet.of_job = scene.desk.snapshot.job, sheet.of_layer = scene.desk.snapshot.layer;
    sheet.open = open_points(scene.desk.snapshot, scene.now());
  }
  if (scene.job()->hand_back) {
    draw_closed(scene, sheet);
  } else {
    for (std::size_t i = 0; i < sheet.open.size() && i < 8; ++i) {
      ImGui::PushTextWrapPos(0);
      text(scene, scene.fonts.small, scene.theme.doubtful, "○  " + sheet.open[i]);
      ImGui::PopTextWrapPos();
    }
    if (sheet.open.size() > 8) quiet(scene, "and " + std::to_string(sheet.open.size() - 8) + " more");
    // What other stages still ask for does not hold the unit back; it is said, so that nobody takes the job for complete.
    bool elsewhere = false;
    for (const StageRow& row : scene.derived.stages(scene.desk)) {
      if (row.points.empty() || (row.stage != Stage::intake && row.stage != Stage::find && row.stage != Stage::measure)) continue;
      std::string words = row.name + ": " + row.points.front();
      for (std::size_t i = 1; i < row.points.size() && i < 4; ++i) words += ", " + row.points[i];
      if (row.points.size() > 4) words += " and " + std::to_string(row.points.size() - 4) + " more";
      quiet_wrapped(scene, words);
      elsewhere = true;
    }
    if (sheet.open.empty() && !elsewhere) text(scene, scene.fonts.small, scene.theme.good, std::string(symbol::check) + "  nothing open");
    draw_checks(scene, sheet);
    separator(scene);
    draw_outcome(scene, sheet);
  }
  draw_record_buttons(scene);
}

}  // namespace boardlore
