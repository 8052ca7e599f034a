#include "bench/stage_line.h"

#include <imgui_internal.h>

#include <algorithm>
#include <set>

#include "bench/widgets.h"
#include "editing/mark_rules.h"
#include "judging/compared_parts.h"
#include "judging/judge.h"

namespace boardlore {
namespace {

bool has_photo(const Job& job, PhotoStage stage) {
  return std::any_of(job.photos.begin(), job.photos.end(), [&](const Photo& p) { return p.stage == stage; });
}

}  // namespace

std::string stage_name(Stage stage) {
  switch (stage) {
    case Stage::intake: return "Intake";
    case Stage::find: return "Find";
    case Stage::measure: return "Measure";
    case Stage::before_lifting: return "Before lifting";
    case Stage::rework: return "Rework";
    case Stage::prove: return "Prove";
    case Stage::hand_back: return "Hand back";
  }
  return {};
}

StageRows stage_rows(const DeskView& desk) {
  StageRows rows;
  for (int i = 0; i < stage_count; ++i) {
    rows[static_cast<std::size_t>(i)].stage = static_cast<Stage>(i);
    rows[static_cast<std::size_t>(i)].name = stage_name(static_cast<Stage>(i));
  }
  const Job* job = desk.snapshot.job.get();
  if (!job || job->hand_back) return rows;  // on a closed job nothing is open
  const auto add = [&](Stage stage, std::string point) {
    rows[static_cast<std::size_t>(stage)].points.push_back(std::move(point));
  };
  if (job->reported.empty()) add(Stage::intake, "what the owner reports");
  if (job->unit.serial.empty()) add(Stage::intake, "serial number of the unit");
  if (job->unit.condition.empty()) add(Stage::intake, "condition of the unit");
  if (job->photos.empty()) add(Stage::intake, "a photo as it came in");
  for (const Photo& photo : job->photos)
    if (!photo.registration) add(Stage::find, "register " + photo.file);
  std::set<Id> lifted;
  for (const Action& action : job->actions) {
    if (!action.mark.empty()) lifted.insert(action.mark);
    for (const Step& step : action.steps)
      if (!step.done_at) add(Stage::rework, action.refdes + ": " + step.name);
  }
  if (desk.snapshot.layer) {
    desk.snapshot.layer->marks.each([&](const MarkPtr& mark) {
      for (const WantedReading& wanted : mark->wanted) {
        const bool taken = std::any_of(job->readings.begin(), job->readings.end(), [&](const Reading& r) {
          return r.mark == mark->id && r.pin == wanted.pin && r.quantity == wanted.quantity;
        });
        if (!taken) add(Stage::measure, spoken_name(*mark) + (wanted.pin.empty() ? "" : "." + wanted.pin) + " " + std::string(quantity_name(wanted.quantity)));
      }
      if (mark->kind == MarkKind::part && lifted.contains(mark->id) && !mark->pin1 && !mark->package)
        add(Stage::before_lifting, "pin 1 of " + spoken_name(*mark));
    });
  }
  if (!lifted.empty() && !has_photo(*job, PhotoStage::before)) add(Stage::before_lifting, "a photo from before");
  if (!job->actions.empty() && !has_photo(*job, PhotoStage::after)) add(Stage::prove, "a photo from after");
  // What was worked on is to be held against how it was, once there is a photo of both.
  std::set<Id> asked;
  for (const Action& action : job->actions) {
    const MarkPtr mark = desk.snapshot.layer && is_rework(action.what) ? desk.snapshot.layer->marks.find(action.mark) : nullptr;
    if (!mark || mark->kind != MarkKind::part || !asked.insert(mark->id).second) continue;
    if (!has_photo(*job, PhotoStage::after) || !(has_photo(*job, PhotoStage::before) || has_photo(*job, PhotoStage::intake))) continue;
    const std::optional<PartAnswer> answer = newest_answer(*job, mark->id);
    if (!answer) add(Stage::prove, spoken_name(*mark) + " is not compared before and after");
    else if (is_overtaken(*job, *answer)) add(Stage::prove, spoken_name(*mark) + " was worked on again since it was compared");
  }
  // What a comparison found stays open here until it was worked on or looks right in a newer one.
  std::set<Id> looked_at;
  for (const KeptComparison& comparison : job->comparisons)
    for (const ComparedPart& part : comparison.parts) {
      if (!looked_at.insert(part.mark).second) continue;
      const PartAnswer answer = *newest_answer(*job, part.mark);
      if (urgency_of(answer.part->verdict) <= urgency_of("missing")) add(Stage::prove, part.refdes + " looks " + spoken_verdict(*answer.part));
    }
  for (const Check& check : job->checks)
    if (!check.ticked_at) add(Stage::hand_back, check.text);
  if (!job->hand_back) add(Stage::hand_back, "outcome");
  for (StageRow& row : rows) row.open = static_cast<int>(row.points.size());
  return rows;
}

void draw_stage_line(const Scene& scene, BenchState& state, float width) {
  const Theme& t = scene.theme;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const StageRows& rows = scene.derived.stages(scene.desk);
  const ImVec2 start = ImGui::GetCursorScreenPos();
  const float step = width / stage_count, rail_y = start.y + t.grid(3.25F), height = t.grid(12);
  // A rail with a stop a stage: filled where nothing is open, a ring with the count where something is.
  list.AddLine(ImVec2(start.x + step / 2, rail_y), ImVec2(start.x + width - step / 2, rail_y), t.line, t.line_px(2));
  for (const StageRow& row : rows) {
    const auto i = static_cast<float>(row.stage);
    const ImVec2 stop(start.x + step * (i + 0.5F), rail_y);
    ImGui::SetCursorScreenPos(ImVec2(start.x + step * i, start.y));
    const std::string name = "stage-" + row.name;
    if (ImGui::InvisibleButton(name.c_str(), ImVec2(step, height))) {
      state.stage = row.stage;
      // These two are about the unit: a part's card would stand in the way of their sheet.
      if (row.stage == Stage::intake || row.stage == Stage::hand_back) state.selected.clear(), state.shown = Id();
    }
    const bool hovered = ImGui::IsItemHovered(), chosen = state.stage == row.stage;
    scene.anchors.note(name);
    // The chosen stage's list stands on the card; of another it is shown to whoever rests there.
    if (hovered && !chosen && !row.points.empty() && GImGui->HoveredIdTimer > 0.4F) {
      ImGui::BeginTooltip();
      quiet(scene, "Still open");
      for (std::size_t n = 0; n < row.points.size() && n < 8; ++n) text(scene, scene.fonts.small, t.text, row.points[n]);
      if (row.points.size() > 8) quiet(scene, "and " + std::to_string(row.points.size() - 8) + " more");
      ImGui::EndTooltip();
    }
    const float r = t.grid(2.75F);
    const int open = row.stage == Stage::before_lifting ? std::max(row.open, state.open_before_lift) : row.open;
    if (open > 0) {
      const std::string count = open > 99 ? "99+" : std::to_string(open);
      ImFont* font = scene.fonts.small;
      const ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, count.c_str());
      const float half = std::max(r, size.x / 2 + t.grid(1.25F));
      list.AddRectFilled(ImVec2(stop.x - half, stop.y - r), ImVec2(stop.x + half, stop.y + r), chosen ? t.strong : t.panel, r);
      list.AddRect(ImVec2(stop.x - half, stop.y - r), ImVec2(stop.x + half, stop.y + r), chosen ? t.strong : t.quiet, r, 0, t.line_px(1.5F));
      list.AddText(font, font->FontSize, ImVec2(stop.x - size.x / 2, stop.y - size.y / 2), chosen ? t.on_strong : t.text, count.c_str());
    } else {
      list.AddCircleFilled(stop, chosen ? t.grid(2) : t.grid(1.25F), chosen ? t.strong : t.quiet);
      if (chosen) list.AddCircleFilled(stop, t.grid(0.75F), t.panel);
    }
    ImFont* font = chosen ? scene.fonts.strong : scene.fonts.small;
    const std::string shown = shortened(font, row.name, step - t.grid(1));
    const ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, shown.c_str());
    list.AddText(font, font->FontSize, ImVec2(stop.x - size.x / 2, start.y + t.grid(9) - size.y / 2),
                 chosen || hovered ? t.text : t.quiet, shown.c_str());
  }
}

}  // namespace boardlore
