// boardlore index [DIR...]: the shop index, from nothing or brought up to date.
#include <unistd.h>

#include <memory>

#include "commands/command_support.h"
#include "storage/shop_index.h"

namespace boardlore {

void add_index_command(CommandLine& line) {
  struct Options {
    std::vector<std::string> folders;
    std::string file;
  };
  const auto options = std::make_shared<Options>();
  CLI::App* app = line.app->add_subcommand("index", "Read all jobs and boards under the folders into the shop index");
  app->add_option("DIR", options->folders, "folders of jobs and boards; without any, those of last time");
  app->add_option("--index", options->file, "the index's file; $BOARDLORE_INDEX or the user's cache folder without it");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, options] {
    Result<ShopIndex> index = ShopIndex::open(options->file.empty() ? ShopIndex::usual_place() : std::filesystem::path(options->file));
    if (failed(line, index)) return;
    const bool show = isatty(STDERR_FILENO) == 1;
    const IndexProgress progress = [&](std::size_t done, std::size_t all) {
      if (show) std::fprintf(stderr, "\r%zu of %zu", done, all);
      return true;
    };
    if (options->folders.empty() && index->folders().empty())
      return complain(line, Problem{"", "DIR", "a folder of jobs or boards", "none, and none from last time"});
    const Result<IndexReport> report =
        options->folders.empty() ? index->refresh(progress)
                                 : index->update(std::vector<std::filesystem::path>(options->folders.begin(), options->folders.end()), progress);
    if (show) std::fputs("\r", stderr);
    if (failed(line, report)) return;
    if (line.json) {
      JsonOut refused = JsonOut::array();
      for (const Problem& problem : report->refused) refused.push_back(to_text(problem));
      print_json({{"documents", report->files}, {"read", report->read}, {"dropped", report->dropped}, {"rebuilt", report->rebuilt},
                  {"refused_count", report->refused_count}, {"refused", refused}});
    } else {
      if (report->rebuilt) print("the index was damaged or of another version; it was built again\n");
      print(std::to_string(report->files) + " jobs and boards, " + std::to_string(report->read) + " read, " + std::to_string(report->dropped) +
            " gone\n");
      for (const Problem& problem : report->refused) print("not read: " + to_text(problem) + "\n");
    }
    if (report->refused_count > 0) line.outcome = Outcome::finding;
  });
}

}  // namespace boardlore
