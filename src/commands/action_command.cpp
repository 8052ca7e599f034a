// boardlore action add | step | list: what was done to a part, how, and step by step.
#include <algorithm>

#include "commands/command_support.h"
#include "judging/cautions.h"
#include "judging/step_lists.h"
#include "storage/shop_file.h"

namespace boardlore {
namespace {

struct ActionOptions {
  std::string dir, refdes, what, pin, words, steps, at, bag_opened, action, step, photo;
  std::vector<std::string> names;
  Action action_given;
};

JsonOut json_action(const Action& action) {
  JsonOut json{{"id", action.id.text}, {"refdes", action.refdes}, {"pin", action.pin}, {"what", action.what}, {"at", to_rfc3339(action.at)}, {"by", action.by}};
  JsonOut steps = JsonOut::array();
  for (const Step& step : action.steps)
    {
    JsonOut one{{"name", step.name}, {"done_at", step.done_at ? JsonOut(to_rfc3339(*step.done_at)) : JsonOut(nullptr)}};
    if (!step.photo.empty()) one["photo"] = step.photo.text;
    steps.push_back(std::move(one));
  }
  json["steps"] = steps;
  return json;
}

Result<Timestamp> time_of(const std::string& text, const char* option) {
  if (const auto time = parse_rfc3339(text)) return *time;
  return Problem{"", option, "a time as in 2026-03-04T10:20:00Z", "\"" + text + "\""};
}

Result<Folder> open_job(const CommandLine& line, const std::string& dir) {
  Result<Folder> folder = open_folder(line, dir);
  if (folder && !folder->is_job()) return Problem{dir, "", "a job folder", "a board folder"};
  return folder;
}

void run_add(CommandLine& line, const ActionOptions& given) {
  Result<Folder> folder = open_job(line, given.dir);
  if (failed(line, folder)) return;
  const Result<MarkPtr> mark = mark_named(*folder, given.refdes);
  if (failed(line, mark)) return;
  Action action = given.action_given;
  action.id = folder->session().new_id();
  action.mark = (*mark)->id;
  action.refdes = (*mark)->refdes;
  action.pin = given.pin, action.what = given.what, action.words = given.words;
  action.at = folder->session().now();
  action.by = folder->session().technician;
  if (!given.at.empty()) {
    const auto at = time_of(given.at, "--at");
    if (failed(line, at)) return;
    action.at = *at;
  }
  if (!given.bag_opened.empty()) {
    const auto opened = time_of(given.bag_opened, "--bag-opened");
    if (failed(line, opened)) return;
    action.bag_opened_at = *opened;
  }
  if (!given.steps.empty()) {
    const Result<Shop> shop = load_shop(shop_file_beside(folder->board_dir()));
    if (failed(line, shop)) return;
    const auto list = given.steps == "usual" && (*mark)->package ? usual_step_list((*mark)->package->family, *shop) : find_step_list(given.steps, *shop);
    if (!list) {
      std::string keys;
      for (const StepList& one : step_lists(*shop)) keys += (keys.empty() ? "" : ", ") + one.key;
      return complain(line, Problem{"", "--steps", "one of " + keys + ", or usual for a part with a package", given.steps});
    }
    action.steps = steps_of(*list);
  }
  if (failed(line, folder->commit(PutAction{action})) || failed(line, folder->save())) return;
  const auto cautions = cautions_for_process(action.process, **mark, nullptr);
  if (line.json) {
    JsonOut json = json_action(action), list = JsonOut::array();
    for (const Caution& c : cautions) list.push_back({{"key", c.key}, {"text", c.text}, {"source", c.source}});
    json["cautions"] = list;
    return print_json(json);
  }
  print(action.refdes + " " + action.what + " (" + action.id.text + ")\n");
  for (const Caution& c : cautions) print("  caution: " + c.text + "\n");
  if (!cautions.empty()) print(std::string(cautions_closing) + "\n");
}

// By id, or the last action on that designator.
Result<Action> action_named(const Folder& folder, const ActionOptions& given) {
  const auto& actions = folder.now().job->actions;
  const auto found = std::find_if(actions.rbegin(), actions.rend(), [&](const Action& a) { return a.id.text == given.action || a.refdes == given.action; });
  if (found == actions.rend()) return Problem{given.dir, "action \"" + given.action + "\"", "an action's id, or a designator that has one", "none"};
  return *found;
}

void run_step(CommandLine& line, const ActionOptions& given) {
  Result<Folder> folder = open_job(line, given.dir);
  if (failed(line, folder)) return;
  Result<Action> action = action_named(*folder, given);
  if (failed(line, action)) return;
  Step done{given.step, folder->session().now(), {}};
  if (!given.at.empty()) {
    const auto at = time_of(given.at, "--at");
    if (failed(line, at)) return;
    done.done_at = *at;
  }
  if (!given.photo.empty()) {
    const Result<const Photo*> photo = photo_named(*folder, given.photo);
    if (failed(line, photo)) return;
    done.photo = (*photo)->id;
  }
  // The first of that name that is still open; a step that was not planned is added at the end.
  const auto open = std::find_if(action->steps.begin(), action->steps.end(), [&](const Step& s) { return s.name == given.step && !s.done_at; });
  if (open != action->steps.end()) *open = done; else action->steps.push_back(done);
  if (failed(line, folder->commit(PutAction{*action})) || failed(line, folder->save())) return;
  if (line.json) return print_json(json_action(*action));
  const auto left = std::count_if(action->steps.begin(), action->steps.end(), [](const Step& s) { return !s.done_at; });
  print(action->refdes + ": " + given.step + " done, " + std::to_string(left) + " to go\n");
}

void run_steps(CommandLine& line, const ActionOptions& given) {
  Result<Folder> folder = open_job(line, given.dir);
  if (failed(line, folder)) return;
  Result<Action> action = action_named(*folder, given);
  if (failed(line, action)) return;
  Result<std::vector<Step>> changed = steps_changed(action->steps, given.names);
  if (failed(line, changed)) return;
  action->steps = std::move(*changed);
  if (failed(line, folder->commit(PutAction{*action})) || failed(line, folder->save())) return;
  if (line.json) return print_json(json_action(*action));
  std::string text = action->refdes + " " + action->what + ":\n";
  for (const Step& step : action->steps) text += std::string(step.done_at ? "  done  " : "  open  ") + step.name + "\n";
  print(text);
}

void run_list(CommandLine& line, const ActionOptions& given) {
  Result<Folder> folder = open_job(line, given.dir);
  if (failed(line, folder)) return;
  JsonOut json = JsonOut::array();
  for (const Action& action : folder->now().job->actions) {
    json.push_back(json_action(action));
    if (!line.json) print(to_rfc3339(action.at) + "  " + action.refdes + (action.pin.empty() ? "" : "." + action.pin) + " " + action.what + (action.words.empty() ? "" : ": " + action.words) + "\n");
  }
  if (line.json) print_json(json);
}

}  // namespace

void add_action_command(CommandLine& line) {
  CLI::App* family = line.app->add_subcommand("action", "What was done to a part, and how");
  family->require_subcommand(1);
  const auto given = std::make_shared<ActionOptions>();
  ActionOptions& g = *given;
  const auto subcommand = [&](const char* name, const char* about) {
    CLI::App* app = family->add_subcommand(name, about);
    app->add_option("JOBDIR", g.dir, "job folder")->required();
    app->add_flag("--json", line.json, "one JSON document on stdout");
    return app;
  };
  CLI::App* add = subcommand("add", "Enter a step of rework with its process data");
  Process& process = g.action_given.process;
  add->add_option("REFDES", g.refdes, "designator (or a mark's id)")->required();
  add->add_option("WHAT", g.what, "replaced, reflowed, lifted, cleaned, ...")->required();
  add->add_option("--pin", g.pin, "the pin it was done to");
  add->add_option("--words", g.words, "free words");
  add->add_option("--iron", process.iron_c, "iron temperature in °C");
  add->add_option("--air", process.air_c, "air temperature in °C");
  add->add_option("--air-setting", process.air_setting, "air flow as set");
  add->add_option("--nozzle", process.nozzle_mm, "nozzle diameter in mm");
  add->add_option("--preheat", process.preheat_c, "preheat in °C");
  add->add_option("--alloy", process.alloy, "solder alloy, as in SAC305");
  add->add_option("--flux", process.flux, "flux");
  add->add_option("--time", process.time_s, "seconds under heat");
  add->add_option("--steps", g.steps, "start from a step list: usual, or its name (boardlore steps list)");
  add->add_option("--fitted-marking", g.action_given.fitted_marking, "marking of the part fitted");
  add->add_option("--fitted-lot", g.action_given.fitted_lot, "its lot or date code");
  add->add_option("--fitted-source", g.action_given.fitted_source, "where it came from");
  add->add_option("--fitted-price", g.action_given.fitted_price, "what the shop paid; never in the owner's record");
  add->add_option("--bag-opened", g.bag_opened, "when its dry bag was opened (floor life)");
  add->add_option("--at", g.at, "when it was done (default: now)");
  add->callback([&line, given] { run_add(line, *given); });
  CLI::App* step = subcommand("step", "Tick a step of an action");
  step->add_option("ACTION", g.action, "an action's id, or the designator it was done to (the last one)")->required();
  step->add_option("STEP", g.step, "name of the step; a new name is added")->required();
  step->add_option("--photo", g.photo, "a photo of the job that shows it");
  step->add_option("--at", g.at, "when it was done (default: now)");
  step->callback([&line, given] { run_step(line, *given); });
  CLI::App* steps = subcommand("steps", "Change an action's steps: all names in the new order; what is done stays");
  steps->add_option("ACTION", g.action, "an action's id, or the designator it was done to (the last one)")->required();
  steps->add_option("STEP", g.names, "the steps, each one argument")->required();
  steps->callback([&line, given] { run_steps(line, *given); });
  CLI::App* list = subcommand("list", "Every action of the job");
  list->callback([&line, given] { run_list(line, *given); });
}

}  // namespace boardlore
