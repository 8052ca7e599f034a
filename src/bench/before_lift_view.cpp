#include "bench/before_lift_view.h"

#include <algorithm>
#include <cmath>

#include "bench/widgets.h"
#include "editing/mark_rules.h"
#include "exchange/before_lift_question.h"
#include "geometry/outline.h"
#include "overlay/canvas_imgui.h"

namespace boardlore {
namespace {

// 0 where nothing, or no number over 0, is said.
double positive_number(std::string words) {
  std::replace(words.begin(), words.end(), ',', '.');
  const double value = std::strtod(words.c_str(), nullptr);
  return std::isfinite(value) && value > 0 ? value : 0;
}

void measure(const Scene& scene, BeforeLiftCheck& check, const Mark& part) {
  const auto candidates = orientation_candidates(scene.layer(), *scene.job(), part);
  std::vector<std::pair<Id, PhotoPoint>> of;
  std::map<Id, std::filesystem::path> paths;
  for (const OrientationCandidate& candidate : candidates) {
    of.emplace_back(candidate.photo, candidate.low);
    if (const DeskPhoto* photo = scene.desk.find_photo(candidate.photo)) paths[candidate.photo] = photo->path;
  }
  if (of == check.measured_of) return;
  check.measured_of = std::move(of);
  check.focus.clear();
  check.at_work = !candidates.empty();
  if (!check.at_work) return;
  check.measuring = Task<std::map<Id, double>>::start([candidates, paths](const TaskReins& reins) {
    const auto path_of = [&](const OrientationCandidate& candidate) {
      const auto path = paths.find(candidate.photo);
      return path == paths.end() ? std::filesystem::path() : path->second;
    };
    return measure_focus(candidates, path_of, [&] { return reins.stop.stop_requested(); });
  });
}

void work_out(const Scene& scene, BeforeLiftCheck& check, const Mark& part) {
  const std::string words = check.nozzle + "|" + check.air + "|" + check.alloy;
  const std::int64_t minute = scene.now().ms / 60000;
  if (check.layer == scene.desk.snapshot.layer && check.job == scene.desk.snapshot.job && check.mark == part.id && check.words == words &&
      check.minute == minute && (check.report || !check.trouble.empty()))
    return;
  if (check.mark != part.id) check.reasons.clear(), check.spare.clear();
  check.layer = scene.desk.snapshot.layer, check.job = scene.desk.snapshot.job;
  check.mark = part.id, check.words = words, check.minute = minute;
  measure(scene, check, part);
  std::vector<const Photo*> photos;
  for (const DeskPhoto& entry : scene.desk.photos)
    if (!entry.made) photos.push_back(&entry.photo);
  BeforeLiftQuestion question;
  question.nozzle_diameter_mm = positive_number(check.nozzle);
  question.focus = check.focus;
  question.registration_error_mm = registration_error_of(photos);
  question.scale_known = std::any_of(photos.begin(), photos.end(), [](const Photo* photo) { return photo->registration.has_value(); });
  question.now = scene.now();
  if (positive_number(check.air) > 0 || !check.alloy.empty()) {
    question.plan = Process{};
    if (positive_number(check.air) > 0) question.plan->air_c = positive_number(check.air);
    question.plan->alloy = check.alloy;
  }
  auto report = before_lift(scene.layer(), *scene.job(), part.id, question);
  check.report.reset(), check.trouble.clear();
  if (report) check.report = std::move(*report);
  else check.trouble = report.problem().found;
}

void acknowledge(const Scene& scene, BeforeLiftCheck& check, const CheckPoint& point, std::string reason) {
  if (const auto may = may_acknowledge(*check.report, point.point, reason); !may)
    return scene.faults.refuse("reason-" + point.point, reason, "Expected " + may.problem().expected + ".");
  check.reasons.erase(point.point);
  scene.intents.commit("before-lift check of " + check.report->refdes,
                       {PutAcknowledgement{{scene.new_id(), check.mark, point.point, reason, scene.technician, scene.now(), {}}}});
}

void draw_point(const Scene& scene, BeforeLiftCheck& check, const CheckPoint& point, const Mark& part) {
  const Theme& t = scene.theme;
  const bool open = point.state == PointState::open, met = point.state == PointState::met;
  const float indent = t.grid(5);
  text(scene, scene.fonts.small, open ? t.bad : met ? t.good : t.doubtful, open ? "○" : met ? symbol::check : symbol::warning);
  ImGui::SameLine(indent);
  ImGui::PushTextWrapPos(0);
  text(scene, scene.fonts.body, t.text, point.title);
  ImGui::Indent(indent);
  if (!point.found.empty()) quiet(scene, point.found);
  if (open && point.point == "orientation-photo" && check.at_work) quiet(scene, "measuring the photo …");
  if (!point.reason.empty()) text(scene, scene.fonts.small, t.doubtful, "gone on over it" + (point.by.empty() ? "" : " by " + point.by) + ": " + point.reason);
  // A neighbour's advice stands in what was found already.
  if (open && !point.to_do.empty() && !point.point.starts_with("neighbour:")) text(scene, scene.fonts.small, t.text, point.to_do);
  ImGui::PopTextWrapPos();
  if (point.point == "spare") {
    const bool done = field(scene, "spare-marking", "Marking seen on the spare", check.spare);
    if (done && !check.spare.empty()) {
      const MarkingMatch match = match_marking(part.accept, part.refuse, check.spare);
      scene.intents.commit("spare for " + part.refdes,
                           {AddSpareCheck{{scene.new_id(), part.id, check.spare, std::string(spare_verdict_name(match.verdict)), scene.now()}}});
      check.spare.clear();
    }
  }
  if (open) {
    if (point.by_acknowledging) {
      if (button(scene, ("seen-" + point.point).c_str(), "Seen")) acknowledge(scene, check, point, "");
      ImGui::SameLine();
    }
    std::string& reason = check.reasons[point.point];
    if (field(scene, ("reason-" + point.point).c_str(), "Why go on all the same", reason) && !reason.empty()) acknowledge(scene, check, point, reason);
  }
  ImGui::Unindent(indent);
  ImGui::Dummy(ImVec2(0, t.grid(0.5F)));
}

}  // namespace

bool BeforeLiftCheck::take_measured() {
  auto taken = measuring.take();
  if (!taken) return false;
  focus = std::move(*taken);
  at_work = false;
  report.reset(), trouble.clear();
  return true;
}

void draw_before_lift(const Scene& scene, BeforeLiftCheck& check, const Mark& part) {
  const Theme& t = scene.theme;
  work_out(scene, check, part);
  separator(scene);
  text(scene, scene.fonts.strong, t.text, "Before lifting");
  const float third = (ImGui::GetContentRegionAvail().x - 2 * t.grid(2)) / 3;
  const auto number = [&](const char* name, const char* caption, const char* hint, const char* expected, std::string& words) {
    if (captioned_field(scene, name, caption, hint, words, third) && !words.empty() && positive_number(words) <= 0) scene.faults.refuse(name, words, expected);
  };
  number("nozzle", "Nozzle, mm", "none", "Expected its diameter, as 8.", check.nozzle);
  ImGui::SameLine();
  number("air", "Air, °C", "", "Expected °C, as 300.", check.air);
  ImGui::SameLine();
  captioned_field(scene, "alloy", "Joint's alloy", "as SAC305", check.alloy, third);
  if (!check.report) {
    if (!check.trouble.empty()) quiet_wrapped(scene, check.trouble);
    return;
  }
  const std::size_t open = check.report->open_count();
  text(scene, scene.fonts.body, open > 0 ? t.bad : t.text,
       open == 0 ? "No point is open" : std::to_string(open) + (open == 1 ? " point is open" : " points are open"));
  scene.anchors.note(open == 0 ? "before-lift-none-open" : "before-lift-open");
  // A copy: what is clicked may change the report's ground in the same frame.
  std::vector<CheckPoint> points = check.report->points;
  // What is open stands first, in the order of the work.
  std::stable_partition(points.begin(), points.end(), [](const CheckPoint& point) { return point.state == PointState::open; });
  for (const CheckPoint& point : points) {
    if (point.point == "cautions")
      for (const Caution& caution : check.report->cautions) {
        ImGui::PushTextWrapPos(0);
        text(scene, scene.fonts.small, t.doubtful, std::string(symbol::warning) + "  " + caution.text);
        ImGui::PopTextWrapPos();
      }
    draw_point(scene, check, point, part);
  }
  quiet_wrapped(scene, std::string(cautions_closing));
}

std::size_t open_before_lift(const Scene& scene, BeforeLiftCheck& check, const Mark& part) {
  work_out(scene, check, part);
  return check.report ? check.report->open_count() : 0;
}

std::size_t draw_open_before_lift(const Scene& scene, BenchState& state, BeforeLiftCheck& check, const Mark& part) {
  const std::size_t open = open_before_lift(scene, check, part);
  if (open == 0) return 0;
  const Theme& t = scene.theme;
  ImGui::PushTextWrapPos(0);
  text(scene, scene.fonts.body, t.bad, std::string(symbol::warning) + "  " + std::to_string(open) + (open == 1 ? " point is" : " points are") + " still open before lifting");
  scene.anchors.note("rework-open");
  for (const CheckPoint& point : check.report->points)
    if (point.state == PointState::open) text(scene, scene.fonts.small, t.text, "○  " + point.title);
  ImGui::PopTextWrapPos();
  if (button(scene, "rework-see-open", "See to them first", true)) state.stage = Stage::before_lifting;
  return open;
}

void draw_heated(const Scene& scene, const BeforeLiftCheck& check, const Id& shown, const PaneLook& look) {
  if (!check.report || check.mark != shown || !look.map || !look.list || !look.photo || !check.report->clearance) return;
  const ClearanceReport& clearance = *check.report->clearance;
  if (clearance.heated_radius_mm <= 0) return;
  look.list->PushClipRect(look.min, look.max, true);
  std::vector<std::pair<Mark, std::vector<ImVec2>>> unseen;
  for (const Clearance& met : clearance.found) {
    if (!met.heated) continue;
    const MarkPtr mark = scene.layer().marks.find(met.mark);
    if (!mark) continue;
    std::vector<ImVec2> corners;
    for (const BoardPoint corner : outline_of(*mark))
      if (const auto at = look.to_screen(corner)) corners.push_back(*at);
    if (corners.size() < 3) continue;
    // A part on the side in view is filled (it is convex); a keep-out has its hatching, and through the board only the
    // edge shows.
    const int count = static_cast<int>(corners.size());
    if (mark->kind == MarkKind::part && mark->side == look.photo->photo.side) look.list->AddConvexPolyFilled(corners.data(), count, IM_COL32(213, 94, 0, 110));
    look.list->AddPolyline(corners.data(), count, IM_COL32(0, 0, 0, 200), ImDrawFlags_Closed, scene.theme.line_px(5));
    look.list->AddPolyline(corners.data(), count, IM_COL32(255, 150, 60, 255), ImDrawFlags_Closed, scene.theme.line_px(3));
    if (mark->side != look.photo->photo.side) unseen.emplace_back(*mark, corners);
  }
  OverlayOptions options;
  options.heated = HeatedCircle{clearance.axis, clearance.heated_radius_mm};
  options.zoom = look.screen_from_photo.zoom() / scene.theme.scale;  // what is small is so in points of the eye
  draw_scene(overlay_scene(BoardShapes{}, *look.map, options),
             ImGuiCanvas{look.list, look.screen_from_photo, look.min, look.max, scene.fonts.small, scene.fonts.small->FontSize, scene.theme.scale});
  // What lies on the other side is not to be seen here: it has its name, over all lines.
  const Theme& t = scene.theme;
  ImFont* font = scene.fonts.small;
  for (const auto& [mark, corners] : unseen) {
    float left = FLT_MAX, right = -FLT_MAX, low = -FLT_MAX;
    for (const ImVec2 corner : corners) left = std::min(left, corner.x), right = std::max(right, corner.x), low = std::max(low, corner.y);
    const std::string words = spoken_name(mark) + (mark.side == Side::bottom ? ", bottom" : ", top");
    const ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, words.c_str());
    const ImVec2 at(std::round((left + right - size.x) / 2), std::round(low + t.grid(1)));
    look.list->AddRectFilled(ImVec2(at.x - t.grid(1), at.y - t.grid(0.5F)), ImVec2(at.x + size.x + t.grid(1), at.y + size.y + t.grid(0.5F)), IM_COL32(16, 16, 16, 230), 3 * t.scale);
    look.list->AddText(font, font->FontSize, at, IM_COL32(255, 170, 90, 255), words.c_str());
  }
  look.list->PopClipRect();
}

}  // namespace boardlore
