// boardlore addendum: words added to a job that is closed, with their own author and time.
#include "commands/command_support.h"
#include "record/hand_back.h"

namespace boardlore {
namespace {

struct Given {
  std::string dir, text;
};

void run(CommandLine& line, const Given& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Session& session = folder->session();
  const Result<Edit> edit = addendum_edit(folder->now(), given.text, session.technician, session.now(), session.new_id());
  if (failed(line, edit) || failed(line, folder->commit(*edit)) || failed(line, folder->save())) return;
  const std::size_t addenda = folder->now().job->addenda.size();
  if (line.json) return print_json({{"addenda", addenda}});
  print("added (" + std::to_string(addenda) + " in all)\n");
}

}  // namespace

void add_addendum_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("addendum", "Add to a job that was handed back");
  const auto given = std::make_shared<Given>();
  app->add_option("JOBDIR", given->dir, "job folder")->required();
  app->add_option("TEXT", given->text, "what is to be added")->required();
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run(line, *given); });
}

}  // namespace boardlore
