// boardlore steps list | set | drop: the step lists that a rework is started from, and the shop's own.
#include "commands/command_support.h"
#include "judging/step_lists.h"
#include "storage/shop_file.h"

namespace boardlore {
namespace {

struct StepsOptions {
  std::string dir, key, title;
  std::vector<std::string> steps;
};

bool is_own(const Shop& shop, const std::string& key) {
  for (const StepList& own : shop.step_lists)
    if (own.key == key) return true;
  return false;
}

JsonOut json_list(const StepList& list, bool own) { return {{"key", list.key}, {"title", list.title}, {"steps", list.steps}, {"own", own}}; }

std::string text_list(const StepList& list, bool own) {
  std::string text = list.key + ": " + list.title + (own ? " (the shop's own)\n" : " (common practice, no source)\n");
  for (const std::string& step : list.steps) text += "  " + step + "\n";
  return text;
}

void run_list(CommandLine& line, const StepsOptions& given) {
  const Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<Shop> shop = load_shop(shop_file_beside(folder->board_dir()));
  if (failed(line, shop)) return;
  JsonOut json = JsonOut::array();
  std::string text;
  for (const StepList& list : step_lists(*shop)) {
    const bool own = is_own(*shop, list.key);
    if (line.json) json.push_back(json_list(list, own));
    else text += text_list(list, own);
  }
  line.json ? print_json(json) : print(text);
}

void run_set(CommandLine& line, const StepsOptions& given) {
  const Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<Shop> shop = change_shop(shop_file_beside(folder->board_dir()), [&](Shop& now) {
    StepList list{given.key, given.title, given.steps, {}};
    if (const auto old = find_step_list(given.key, now)) {
      if (list.title.empty()) list.title = old->title;
      if (list.steps.empty()) list.steps = old->steps;
    }
    return keep_step_list(now, std::move(list));
  });
  if (failed(line, shop)) return;
  const StepList list = *find_step_list(given.key, *shop);
  line.json ? print_json(json_list(list, true)) : print(text_list(list, true));
}

void run_drop(CommandLine& line, const StepsOptions& given) {
  const Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<Shop> shop = change_shop(shop_file_beside(folder->board_dir()), [&](Shop& now) { return drop_step_list(now, given.key); });
  if (failed(line, shop)) return;
  const auto left = find_step_list(given.key, *shop);
  if (line.json) return print_json({{"dropped", given.key}, {"built_in", left.has_value()}});
  print("dropped " + given.key + (left ? "; the built-in list of that name holds again\n" : "\n"));
}

}  // namespace

void add_steps_command(CommandLine& line) {
  CLI::App* family = line.app->add_subcommand("steps", "The step lists that a rework is started from");
  family->require_subcommand(1);
  const auto given = std::make_shared<StepsOptions>();
  const auto subcommand = [&](const char* name, const char* about, bool names_key) {
    CLI::App* app = family->add_subcommand(name, about);
    app->add_option("DIR", given->dir, "a board's or a job's folder; the shop's file lies beside the board's")->required();
    if (names_key) app->add_option("KEY", given->key, "name of the list, as in quad-air")->required();
    app->add_flag("--json", line.json, "one JSON document on stdout");
    return app;
  };
  subcommand("list", "Every list, built in and the shop's own", false)->callback([&line, given] { run_list(line, *given); });
  CLI::App* set = subcommand("set", "Make a list of the shop's own, or change one; a built-in one is changed for this shop", true);
  set->add_option("--title", given->title, "what it is for, as people say it");
  set->add_option("--step", given->steps, "one step; once for each, in order");
  set->callback([&line, given] { run_set(line, *given); });
  subcommand("drop", "Take one of the shop's own away", true)->callback([&line, given] { run_drop(line, *given); });
}

}  // namespace boardlore
