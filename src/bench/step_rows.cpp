#include "bench/step_rows.h"

#include <algorithm>
#include <cctype>

#include "bench/command_table.h"
#include "bench/widgets.h"
#include "editing/mark_rules.h"
#include "judging/step_lists.h"
#include "record/record_words.h"
#include "storage/shop_file.h"

namespace boardlore {
namespace {

// A reference photo shows another unit: it can't prove a step of this one.
Id job_photo_in_view(const Scene& scene, const BenchState& state) {
  const DeskPhoto* photo = scene.desk.find_photo(state.pane[state.pane_in_hand].photo);
  return photo && !photo->reference && !photo->made ? photo->photo.id : Id{};
}

std::optional<StepList> list_for(const Scene& scene, const Mark& mark) {
  return mark.package ? usual_step_list(mark.package->family, *scene.desk.shop) : find_step_list("two-terminal-iron", *scene.desk.shop);
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
void tick(const Scene& scene, const Id& mark, const Id& photo, BeforeLiftCheck& check) {
  const Job* job = scene.job();
  if (!job || job->hand_back) return;
  std::optional<Action> action = next_step_ticked(*job, mark, scene.now(), photo);
  if (!action) {
    const MarkPtr part = scene.layer().marks.find(mark);
    const auto list = part && part->kind == MarkKind::part && !action_in_hand(*job, mark) ? list_for(scene, *part) : std::nullopt;
    if (!list) return scene.intents.push(intent::Say{"No step is open here.", false});
    // A key asks nothing; it says what it went over, and undo takes it back.
    const std::size_t before = open_before_lift(scene, check, *part);
    const std::string started = "Rework of " + spoken_name(*part) + " started";
    scene.intents.push(before == 0 ? intent::Say{started + "; the same key ticks its steps.", false}
                                   : intent::Say{started + " with " + std::to_string(before) + (before == 1 ? " point" : " points") +
                                                     " still open before lifting. " + key_words(Command::undo) + " takes it back.", true, true});
    return start(scene, *part, *list);
  }
  scene.intents.commit("tick a step", {PutAction{*std::move(action)}});
}

std::string words_of(const std::vector<std::string>& names) {
  std::string words;
  for (const std::string& name : names) words += (words.empty() ? "" : ", ") + name;
  return words;
}

std::vector<std::string> names_in(const std::string& words) {
  std::vector<std::string> names;
  for (std::size_t at = 0; at <= words.size();) {
    const std::size_t end = std::min(words.find(',', at), words.size());
    std::string name = words.substr(at, end - at);
    name.erase(0, name.find_first_not_of(' '));
    while (!name.empty() && name.back() == ' ') name.pop_back();
    if (!name.empty()) names.push_back(std::move(name));
    at = end + 1;
  }
  return names;
}

// A key from what it is called: "My own, by air" -> "my-own-by-air".
std::string key_of(const std::string& title) {
  std::string key;
  for (const char c : title) {
    const auto u = static_cast<unsigned char>(c);
    if (u < 0x80 && std::isalnum(u) != 0) key += static_cast<char>(std::tolower(u));
    else if (!key.empty() && key.back() != '-') key += '-';
  }
  while (!key.empty() && key.back() == '-') key.pop_back();
  return key.substr(0, 60);
}

void keep_list(const Scene& scene, StepList list) {
  scene.intents.push(intent::Work{"keep the steps", [list = std::move(list)](Folder& folder) -> Result<std::string> {
    const std::filesystem::path file = shop_file_beside(folder.board_dir());
    const Result<Shop> kept = change_shop(file, [&](Shop& shop) { return keep_step_list(shop, list); });
    if (!kept) return kept.problem();
    return "Kept for the shop: " + list.title + " (" + file.filename().string() + ")";
  }});
}

// The steps under way, by name: put in order, added to, taken from. What is done stays.
void draw_changing(const Scene& scene, const Action& action, StepForm& form) {
  if (button(scene, "change-steps", "Change the steps …")) {
    form.changing = !form.changing;
    std::vector<std::string> names;
    for (const Step& step : action.steps) names.push_back(step.name);
    form.names = words_of(names);
  }
  if (!form.changing) return;
  if (captioned_field(scene, "step-names", "All steps in their order, with commas", "flux, lift, wick, clean", form.names)) {
    Result<std::vector<Step>> changed = steps_changed(action.steps, names_in(form.names));
    if (!changed) {
      std::vector<std::string> now;
      for (const Step& step : action.steps) now.push_back(step.name);
      return scene.faults.refuse("step-names", form.names, "Expected " + changed.problem().expected + ".", words_of(now));
    }
    Action put = action;
    put.steps = std::move(*changed);
    if (put.steps != action.steps) scene.intents.commit("change the steps", {PutAction{std::move(put)}});
  }
}

// Which list to start from, and its steps; changed ones can be kept for the whole shop.
std::optional<StepList> draw_list_choice(const Scene& scene, const Mark& mark, StepForm& form) {
  const Theme& t = scene.theme;
  const std::vector<StepList> lists = step_lists(*scene.desk.shop);
  const auto usual = list_for(scene, mark);
  if (form.mark != mark.id || form.key.empty()) form = StepForm{mark.id, usual ? usual->key : lists.front().key, false, {}, {}};
  auto chosen = std::find_if(lists.begin(), lists.end(), [&](const StepList& list) { return list.key == form.key; });
  if (chosen == lists.end()) chosen = lists.begin();
  quiet_wrapped(scene, "Steps for: " + chosen->title);
  StepList list = *chosen;
  if (button(scene, "other-list", "Another list")) {
    form.key = chosen + 1 == lists.end() ? lists.front().key : (chosen + 1)->key;
    form.changing = false;
  }
  ImGui::SameLine(0, t.grid(2));
  if (button(scene, "change-list", "Change …")) form.changing = !form.changing, form.names = words_of(list.steps), form.title = list.title;
  if (!form.changing) return list;
  captioned_field(scene, "list-names", "Steps in their order, with commas", "flux, lift, wick, clean", form.names);
  captioned_field(scene, "list-title", "For what", "my own, by air", form.title);
  if (const auto names = names_in(form.names); !names.empty()) list.steps = names;
  if (!form.title.empty() && form.title != list.title) list.title = form.title, list.key = key_of(form.title);
  if (button(scene, "keep-list", "Keep it for the shop")) {
    if (const auto problem = fault_of(list)) {
      scene.faults.refuse("list-names", form.names, "Expected " + problem->expected + ".", words_of(chosen->steps));
    } else {
      form.key = list.key, form.changing = false;
      keep_list(scene, list);
    }
  }
  return list;
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

void draw_step_rows(const Scene& scene, BenchState& state, const Mark& mark, StepForm& form, BeforeLiftCheck& check) {
  const Job* job = scene.job();
  if (!job || mark.kind != MarkKind::part) return;
  const Theme& t = scene.theme;
  const Action* action = action_in_hand(*job, mark.id);
  const bool open = action && is_open(*action);
  if (action) {
    separator(scene);
    text(scene, scene.fonts.strong, t.text, "Rework, " + action->what);
    std::optional<Timestamp> before = action->at;  // when it was started
    const auto next = std::find_if(action->steps.begin(), action->steps.end(), [](const Step& s) { return !s.done_at; });
    int number = 0;
    for (const Step& step : action->steps) {
      const bool coming = next != action->steps.end() && &step == &*next;
      std::string words = (step.done_at ? std::string(symbol::check) : std::string("○")) + "  " + step.name;
      text(scene, coming ? scene.fonts.strong : scene.fonts.small, step.done_at ? t.quiet : t.text, words);
      ++number;
      if (const DeskPhoto* photo = step.photo.empty() ? nullptr : scene.desk.find_photo(step.photo)) {
        ImGui::SameLine(0, t.grid(2));
        // As high as the line it stands in.
        const std::string name = "step-photo-" + std::to_string(number);
        ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, ImVec2(t.grid(1), 0));
        ImGui::PushFont(scene.fonts.small);
        if (ImGui::Button((std::string(symbol::photo) + "##" + name).c_str())) scene.intents.push(intent::ShowPhoto{step.photo});
        ImGui::PopFont();
        ImGui::PopStyleVar();
        scene.anchors.note(name);
        tooltip(scene, "Its photo: " + photo->photo.file);
      }
      if (step.done_at) {
        // The time it was done, and how long after the one before.
        const bool after = before && *before <= *step.done_at;
        ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - t.grid(30));
        quiet(scene, to_rfc3339(*step.done_at).substr(11, 5) + (after && step.done_at->ms - before->ms >= 1000 ? "  +" + spoken_duration(step.done_at->ms - before->ms) : ""));
        before = step.done_at;
      }
    }
    if (open) {
      const std::string done = std::string(symbol::check) + "  Done: " + next->name;
      if (button(scene, "tick-step", shortened(scene.fonts.strong, done, ImGui::GetContentRegionAvail().x - t.grid(30)), true)) tick(scene, mark.id, Id{}, check);
      tooltip(scene, "Tick the next step", key_words(Command::tick_step));
      ImGui::SameLine();
      const Id photo = job_photo_in_view(scene, state);
      if (button(scene, "tick-step-photo", "with photo", false, 0, !photo.empty())) tick(scene, mark.id, photo, check);
      tooltip(scene, "Tick it with the photo in view", key_words(Command::tick_step_with_photo));
    }
    if (!job->hand_back && open) {
      if (form.mark != mark.id) form = StepForm{mark.id, {}, false, {}, {}};
      draw_changing(scene, *action, form);
    }
  }
  if (open || job->hand_back) return;
  // It is the next thing to press only where nothing is open before it, and in its own stage.
  const bool here = state.stage == Stage::rework;
  const std::size_t open_before = here ? draw_open_before_lift(scene, state, check, mark) : 0;
  const auto list = draw_list_choice(scene, mark, form);
  if (!list) return;
  if (button(scene, "start-steps", open_before > 0 ? "Start rework all the same" : "Start rework", here && open_before == 0)) {
    form.changing = false;
    start(scene, mark, *list);
  }
  tooltip(scene, "Start it; the same key ticks its steps", key_words(Command::tick_step));
}

void use_step_keys(const Scene& scene, const BenchState& state, BeforeLiftCheck& check) {
  if (state.shown.empty() || !scene.job()) return;
  if (pressed(Command::tick_step)) tick(scene, state.shown, Id{}, check);
  if (pressed(Command::tick_step_with_photo)) tick(scene, state.shown, job_photo_in_view(scene, state), check);
}

}  // namespace boardlore
