#include "bench/step_rows.h"

#include "bench/command_table.h"
#include "bench/widgets.h"
#include "editing/mark_rules.h"
#include "judging/step_lists.h"
#include "record/record_words.h"

namespace boardlore {
namespace {

// A reference photo shows another unit: it can't prove a step of this one.
Id job_photo_in_view(const Scene& scene, const BenchState& state) {
  const DeskPhoto* photo = scene.desk.find_photo(state.pane[state.pane_in_hand].photo);
  return photo && !photo->reference && !photo->made ? photo->photo.id : Id{};
}

const StepList* list_for(const Mark& mark) {
  return mark.package ? usual_step_list(mark.package->family) : find_step_list("two-terminal-iron");
}

bool is_open(const Action& action) {
  return std::any_of(action.steps.begin(), action.steps.end(), [](const Step& s) { return !s.done_at; });
}

void start(const Scene& scene, const Mark& mark, const StepList& list) {
  Action started;
  started.id = scene.new_id();
  started.mark = mark.id;
  started.refdes = mark.refdes;
  started.what = "replaced";
  started.steps = steps_of(list);
  started.at = scene.now();
  started.by = scene.technician;
  scene.intents.commit("start rework", {PutAction{std::move(started)}});
}

// One key from the first step to the last: it starts the rework where none is under way.
void tick(const Scene& scene, const Id& mark, const Id& photo) {
  const Job* job = scene.job();
  if (!job || job->hand_back) return;
  std::optional<Action> action = next_step_ticked(*job, mark, scene.now(), photo);
  if (!action) {
    const MarkPtr part = scene.layer().marks.find(mark);
    const StepList* list = part && part->kind == MarkKind::part && !action_in_hand(*job, mark) ? list_for(*part) : nullptr;
    if (!list) return scene.intents.push(intent::Say{"No step is open here.", false});
    scene.intents.push(intent::Say{"Rework of " + spoken_name(*part) + " started; the same key ticks its steps.", false});
    return start(scene, *part, *list);
  }
  scene.intents.commit("tick a step", {PutAction{*std::move(action)}});
}

}  // namespace

const Action* action_in_hand(const Job& job, const Id& mark) {
  const Action* found = nullptr;
  for (const Action& action : job.actions) {
    if (action.mark != mark || action.steps.empty()) continue;
    const bool open = std::any_of(action.steps.begin(), action.steps.end(), [](const Step& s) { return !s.done_at; });
    const bool found_open = found && std::any_of(found->steps.begin(), found->steps.end(), [](const Step& s) { return !s.done_at; });
    if (!found || open || !found_open) found = &action;
  }
  return found;
}

std::optional<Action> next_step_ticked(const Job& job, const Id& mark, Timestamp at, const Id& photo) {
  const Action* action = action_in_hand(job, mark);
  if (!action) return std::nullopt;
  Action ticked = *action;
  for (Step& step : ticked.steps)
    if (!step.done_at) {
      step.done_at = at;
      step.photo = photo;
      return ticked;
    }
  return std::nullopt;
}

void draw_step_rows(const Scene& scene, const BenchState& state, const Mark& mark) {
  const Job* job = scene.job();
  if (!job || mark.kind != MarkKind::part) return;
  const Theme& t = scene.theme;
  const Action* action = action_in_hand(*job, mark.id);
  const bool open = action && is_open(*action);
  if (action) {
    separator(scene);
    text(scene, scene.fonts.strong, t.text, "Steps: " + action->what);
    std::optional<Timestamp> before = action->at;  // when it was started
    const auto next = std::find_if(action->steps.begin(), action->steps.end(), [](const Step& s) { return !s.done_at; });
    for (const Step& step : action->steps) {
      const bool coming = next != action->steps.end() && &step == &*next;
      std::string words = (step.done_at ? std::string(symbol::check) : std::string("○")) + "  " + step.name;
      text(scene, coming ? scene.fonts.strong : scene.fonts.small, step.done_at ? t.quiet : t.text, words);
      if (step.done_at && before && *before <= *step.done_at) {
        ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - t.grid(20));
        quiet(scene, spoken_duration(step.done_at->ms - before->ms));
      }
      if (step.done_at) before = step.done_at;
    }
    if (open) {
      if (button(scene, "tick-step", std::string(symbol::check) + "  Next step done")) tick(scene, mark.id, Id{});
      tooltip(scene, "Tick the next step", key_words(Command::tick_step));
      ImGui::SameLine();
      const Id photo = job_photo_in_view(scene, state);
      if (button(scene, "tick-step-photo", "with photo", false, 0, !photo.empty())) tick(scene, mark.id, photo);
      tooltip(scene, "Tick it with the photo in view", key_words(Command::tick_step_with_photo));
    }
  }
  if (open || job->hand_back) return;
  const StepList* list = list_for(mark);
  if (!list) return;
  quiet_wrapped(scene, "Steps for: " + std::string(list->title));
  if (button(scene, "start-steps", "Start rework")) start(scene, mark, *list);
  tooltip(scene, "Start it; the same key ticks its steps", key_words(Command::tick_step));
}

void use_step_keys(const Scene& scene, const BenchState& state) {
  if (state.shown.empty() || !scene.job()) return;
  if (pressed(Command::tick_step)) tick(scene, state.shown, Id{});
  if (pressed(Command::tick_step_with_photo)) tick(scene, state.shown, job_photo_in_view(scene, state));
}

}  // namespace boardlore
