// boardlore reopen: a job that was handed back is opened again, and the trace of it stays.
#include "commands/command_support.h"
#include "record/hand_back.h"

namespace boardlore {
namespace {

struct Given {
  std::string dir, reason;
};

void run(CommandLine& line, const Given& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Session& session = folder->session();
  const Result<Edit> edit = reopen_edit(folder->now(), given.reason, session.technician, session.now(), session.new_id());
  if (failed(line, edit) || failed(line, folder->commit(*edit)) || failed(line, folder->save())) return;
  const std::size_t earlier = folder->now().job->earlier_hand_backs.size();
  if (line.json) return print_json({{"open", true}, {"earlier_hand_backs", earlier}});
  print("open again; " + std::to_string(earlier) + (earlier == 1 ? " hand-back" : " hand-backs") + " kept\n");
}

}  // namespace

void add_reopen_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("reopen", "Open a job again that was handed back");
  const auto given = std::make_shared<Given>();
  app->add_option("JOBDIR", given->dir, "job folder")->required();
  app->add_option("--reason", given->reason, "why")->required();
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run(line, *given); });
}

}  // namespace boardlore
