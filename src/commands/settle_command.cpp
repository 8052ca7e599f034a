// boardlore settle DIR: the disputes of a merge, and the choice that settles one.
#include "commands/command_support.h"
#include "commands/terminal_text.h"
#include "storage/settle.h"

namespace boardlore {
namespace {

struct Settle {
  std::string dir, which, take;
};

void list_disputes(CommandLine& line, const Folder& folder) {
  const std::vector<Dispute>& disputes = disputes_of(folder.now());
  JsonOut list = JsonOut::array();
  for (std::size_t i = 0; i < disputes.size(); ++i) {
    const SpokenDispute spoken = spoken_dispute(folder.now(), disputes[i]);
    list.push_back({{"id", disputes[i].id.text}, {"about", spoken.about}, {"one", spoken.one}, {"other", spoken.other}});
    if (!line.json)
      print(safe_for_terminal(std::to_string(i + 1) + "  " + spoken.about + ": one " + spoken.one + " | other " + spoken.other) + "\n");
  }
  if (line.json) print_json({{"disputes", list}});
  if (!disputes.empty()) line.outcome = Outcome::finding;
}

void run_settle(CommandLine& line, const Settle& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  if (given.which.empty()) return list_disputes(line, *folder);
  const Choice choice = given.take == "one" ? Choice::one : given.take == "other" ? Choice::other : Choice::both;
  const std::vector<Dispute>& disputes = disputes_of(folder->now());
  Id id{given.which};
  for (std::size_t i = 0; i < disputes.size(); ++i)
    if (std::to_string(i + 1) == given.which) id = disputes[i].id;
  const Result<std::vector<Edit>> edits = settling_edits(folder->now(), id, choice);
  if (failed(line, edits)) return;
  if (failed(line, folder->commit("settle", *edits))) return;
  if (failed(line, folder->save())) return;
  const std::size_t left = disputes_of(folder->now()).size();
  if (line.json) print_json({{"left", left}});
  else print("settled; " + std::to_string(left) + " left\n");
}

}  // namespace

void add_settle_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("settle", "List what two people changed differently (exit 1 if any), or choose");
  const auto given = std::make_shared<Settle>();
  app->add_option("DIR", given->dir, "board or job folder")->required();
  CLI::Option* which = app->add_option("DISPUTE", given->which, "its number in the list, or its id");
  CLI::Option* take = app->add_option("--take", given->take, "one, other; both: two marks offered as one stay two")
                          ->check(CLI::IsMember({"one", "other", "both"}));
  which->needs(take);
  take->needs(which);
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_settle(line, *given); });
}

}  // namespace boardlore
