#include "bench/usual_faults_view.h"

#include <algorithm>
#include <cstdio>
#include <map>

#include "bench/widgets.h"

namespace boardlore {
namespace {

constexpr std::size_t most_rows = 8, most_suggestions = 5;

void take_symptom(const Scene& scene, BenchState& state, std::string& typed, const std::string& symptom) {
  typed = symptom;
  if (!scene.job()) {
    state.symptom = symptom;
    return;
  }
  if (scene.job()->symptom == symptom) return;
  Job job = *scene.job();
  job.symptom = symptom;
  scene.intents.commit("symptom", {ChangeJob{std::move(job), "symptom"}});
}

// The share's interval as a bar on a line from none to all, the share itself as a tick.
void draw_interval(const Scene& scene, const FaultRow& row, ImVec2 at, float width) {
  const Theme& t = scene.theme;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const auto x = [&](double share) { return at.x + width * static_cast<float>(std::clamp(share, 0.0, 1.0)); };
  list.AddLine(ImVec2(at.x, at.y), ImVec2(at.x + width, at.y), t.line, t.line_px(2));
  list.AddRectFilled(ImVec2(x(row.low), at.y - t.grid(0.75F)), ImVec2(std::max(x(row.high), x(row.low) + 2), at.y + t.grid(0.75F)), t.quiet);
  list.AddLine(ImVec2(x(row.share), at.y - t.grid(1.5F)), ImVec2(x(row.share), at.y + t.grid(1.5F)), t.text, t.line_px(2));
}

void draw_rows(const Scene& scene, const std::vector<FaultRow>& rows, const char* group) {
  const Theme& t = scene.theme;
  const float width = ImGui::GetContentRegionAvail().x, height = t.grid(14);
  ImDrawList& list = *ImGui::GetWindowDrawList();
  ImFont *body = scene.fonts.body, *small = scene.fonts.small;
  for (const FaultRow& row : rows) {
    ImGui::PushID((std::string(group) + row.name).c_str());
    const ImVec2 at = ImGui::GetCursorScreenPos();
    if (ImGui::InvisibleButton("fault", ImVec2(width, height)) && !row.mark.empty()) scene.intents.push(intent::ShowMark{row.mark});
    scene.anchors.note(std::string(group) + "-" + row.name);
    if (ImGui::IsItemHovered() && !row.mark.empty()) list.AddRectFilled(at, ImVec2(at.x + width, at.y + height), t.raised, 4 * t.scale);
    const float left = at.x + t.grid(1), right = at.x + width - t.grid(1);
    const std::string end = row.mark.empty() ? "not on this map" : row.last.empty() ? "" : "last " + row.last;
    const float end_w = small->CalcTextSizeA(small->FontSize, FLT_MAX, 0, end.c_str()).x;
    list.AddText(body, body->FontSize, ImVec2(left, at.y + t.grid(1)), row.mark.empty() ? t.quiet : t.text, shortened(body, row.name, right - left - end_w - t.grid(2)).c_str());
    list.AddText(small, small->FontSize, ImVec2(right - end_w, at.y + t.grid(1.5F)), t.quiet, end.c_str());
    list.AddText(small, small->FontSize, ImVec2(left, at.y + t.grid(6)), t.quiet, shortened(small, row.numbers, right - left).c_str());
    draw_interval(scene, row, ImVec2(left, at.y + t.grid(12)), right - left);
    ImGui::PopID();
  }
}

}  // namespace

std::vector<FaultRow> fault_rows(const Layer& layer, const UsualFaults& faults, std::size_t most) {
  // Of tens of thousands of marks a handful is named: only those are looked for, in every frame.
  std::map<std::string, Id> marks;
  for (std::size_t i = 0; i < std::min(most, faults.faults.size()); ++i)
    if (!faults.faults[i].cure.refdes.empty()) marks[faults.faults[i].cure.refdes];
  std::size_t missing = marks.size();
  layer.marks.each([&](const MarkPtr& mark) {
    if (missing == 0 || mark->refdes.empty()) return;
    if (const auto named = marks.find(mark->refdes); named != marks.end() && named->second.empty()) named->second = mark->id, --missing;
  });
  std::vector<FaultRow> rows;
  for (const UsualFault& fault : faults.faults) {
    if (rows.size() == most) break;
    FaultRow row;
    row.name = (fault.cure.refdes.empty() ? "" : fault.cure.refdes + " ") + fault.cure.what;
    char numbers[96];
    std::snprintf(numbers, sizeof numbers, "%d of %d %s, %.0f to %.0f %%", fault.cured, fault.fixed_jobs, fault.fixed_jobs == 1 ? "job" : "jobs",
                  100 * fault.interval.low, 100 * fault.interval.high);
    row.numbers = numbers;
    row.low = fault.interval.low, row.high = fault.interval.high;
    row.share = fault.fixed_jobs > 0 ? static_cast<double>(fault.cured) / fault.fixed_jobs : 0;
    row.last = fault.last_month;
    if (const auto mark = marks.find(fault.cure.refdes); mark != marks.end()) row.mark = mark->second;
    rows.push_back(std::move(row));
  }
  return rows;
}

std::string symptom_asked(const Scene& scene, const BenchState& state) { return scene.job() ? scene.job()->symptom : state.symptom; }

void draw_usual_faults(const Scene& scene, BenchState& state, std::string& typed) {
  const Theme& t = scene.theme;
  const std::string symptom = symptom_asked(scene, state);
  const ShopFaults* faults = scene.shop.faults(scene.desk.snapshot.layer, scene.desk.shop->counts_as, symptom);
  text(scene, scene.fonts.strong, t.text, "Usual faults");
  quiet(scene, "Symptom, as the shop calls it");
  const bool left = field(scene, "symptom", "as dead", typed), enter = entered();
  if ((left || enter) && typed != symptom) {
    // One of the list is taken at once, and so is nothing; new words only by Enter: leaving the field is how a
    // suggestion is clicked.
    const auto known = faults ? std::find_if(faults->symptoms.begin(), faults->symptoms.end(), [&](const std::string& one) { return same_symptom(one, typed); })
                              : std::vector<std::string>::const_iterator{};
    if (faults && known != faults->symptoms.end()) take_symptom(scene, state, typed, *known);
    else if (enter || typed.empty()) take_symptom(scene, state, typed, typed);
  }
  const bool typing = typed != symptom;
  if (!faults) return quiet(scene, "Asking the shop's jobs …");
  if (typing || symptom.empty()) {
    const std::vector<std::string> suggested = suggest_symptoms(faults->symptoms, typed);
    const float right = ImGui::GetCursorScreenPos().x + ImGui::GetContentRegionAvail().x;
    bool first = true;
    for (std::size_t i = 0; i < suggested.size() && i < most_suggestions; ++i) {
      if (suggested[i] == symptom) continue;
      const float wide = scene.fonts.body->CalcTextSizeA(scene.fonts.body->FontSize, FLT_MAX, 0, suggested[i].c_str()).x + 2 * ImGui::GetStyle().FramePadding.x;
      if (!std::exchange(first, false)) {
        ImGui::SameLine(0, t.grid(1));
        if (ImGui::GetCursorScreenPos().x + wide > right) ImGui::NewLine();
      }
      if (button(scene, ("symptom-" + suggested[i]).c_str(), suggested[i])) take_symptom(scene, state, typed, suggested[i]);
    }
    if (typing && suggested.empty()) quiet(scene, "New to the shop: Enter takes it as typed.");
  }
  const std::string of = symptom.empty() ? "" : " with \"" + symptom + "\"";
  const auto jobs = [](int n) { return std::to_string(n) + (n == 1 ? " job" : " jobs"); };
  quiet_wrapped(scene, "This shop: " + jobs(faults->own.jobs) + of + ", " + std::to_string(faults->own.fixed_jobs) +
                           " fixed. The bar is the likely range of the true share, 95 times of 100.");
  if (faults->own.fixed_jobs > 0 && faults->own.few()) text(scene, scene.fonts.small, t.doubtful, std::string(symbol::warning) + "  Few jobs: the shares say little.");
  draw_rows(scene, fault_rows(scene.layer(), faults->own, most_rows), "fault");
  if (!faults->shared.faults.empty()) {
    quiet_wrapped(scene, "Other shops, by this board's layer: " + jobs(faults->shared.jobs) + of + ", fixed or not.");
    draw_rows(scene, fault_rows(scene.layer(), faults->shared, most_rows), "shared-fault");
  }
  if (faults->own.faults.empty() && faults->shared.faults.empty()) quiet_wrapped(scene, "Nothing was cured yet that could be counted.");
}

}  // namespace boardlore
