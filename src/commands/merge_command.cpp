// boardlore merge BASE OURS THEIRS -o OUT: three versions of a layer or a job made into one.
#include "commands/command_support.h"
#include "storage/file_bytes.h"
#include "storage/merge.h"

namespace boardlore {
namespace {

struct Merge {
  std::string base, ours, theirs, out;
};

void run_merge(CommandLine& line, const Merge& given) {
  const auto version = [](const std::string& file) -> Result<VersionFile> {
    Result<std::string> text = read_file(file);
    if (!text) return text.problem();
    return VersionFile{*std::move(text), file};
  };
  const Result<VersionFile> base = version(given.base), ours = version(given.ours), theirs = version(given.theirs);
  if (failed(line, base) || failed(line, ours) || failed(line, theirs)) return;
  const Result<MergedText> merged = merge_texts(*base, *ours, *theirs);
  if (failed(line, merged)) return;
  if (failed(line, write_file_atomically(given.out, merged->text))) return;
  const auto& disputes = merged->disputes;
  if (line.json) {
    JsonOut list = JsonOut::array();
    for (const Dispute& d : disputes)
      list.push_back({{"id", d.id.text}, {"mark", d.mark.text}, {"member", d.member}, {"one", d.one}, {"other", d.other}});
    print_json({{"out", given.out}, {"disputes", list}});
  } else if (!disputes.empty()) {
    print(std::to_string(disputes.size()) + (disputes.size() == 1 ? " dispute" : " disputes") +
          ", both values kept: boardlore settle lists them\n");
  }
  if (!disputes.empty()) line.outcome = Outcome::finding;
}

}  // namespace

void add_merge_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("merge", "Merge two people's versions of a layer or job over a common ancestor");
  const auto given = std::make_shared<Merge>();
  app->add_option("BASE", given->base, "the common ancestor; an empty file: there is none")->required();
  app->add_option("OURS", given->ours, "one version")->required();
  app->add_option("THEIRS", given->theirs, "the other")->required();
  app->add_option("-o,--out", given->out, "file to write; may be one of the three")->required();
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_merge(line, *given); });
}

}  // namespace boardlore
