// boardlore find WORDS: jobs, boards and marks of the whole shop.
#include <memory>

#include "commands/command_support.h"
#include "storage/shop_index.h"

namespace boardlore {
namespace {

struct FindOptions {
  std::vector<std::string> words;
  std::string board, refdes, since, file;
  std::size_t most = 20;
  bool refresh = false;
};

const char* kind_name(HitKind kind) { return kind == HitKind::job ? "job" : kind == HitKind::mark ? "mark" : "board"; }

// "2026", "2026-03" or "2026-03-04": from its first day on.
std::optional<Timestamp> day(std::string text) {
  if (text.size() == 4) text += "-01";
  if (text.size() == 7) text += "-01";
  return text.size() == 10 ? parse_rfc3339(text + "T00:00:00Z") : parse_rfc3339(text);
}

void run_find(CommandLine& line, const FindOptions& options) {
  FindQuery query;
  for (const std::string& word : options.words) query.words += word + " ";
  query.board = options.board, query.refdes = options.refdes, query.most = options.most;
  if (!options.since.empty()) {
    query.since = day(options.since);
    if (!query.since) return complain(line, Problem{"", "--since", "a day (2026-03-04), month or year", "\"" + options.since + "\""});
  }
  Result<ShopIndex> index = ShopIndex::open(options.file.empty() ? ShopIndex::usual_place() : std::filesystem::path(options.file));
  if (failed(line, index)) return;
  if (options.refresh)
    if (const Result<IndexReport> report = index->refresh(); failed(line, report)) return;
  if (index->folders().empty())
    return complain(line, Problem{"", "", "a shop index (boardlore index DIR...)", "none yet", Outcome::finding});
  const Result<std::vector<Hit>> hits = index->find(query);
  if (failed(line, hits)) return;
  JsonOut list = JsonOut::array();
  for (const Hit& hit : *hits) {
    const std::string opened = hit.opened_at ? to_rfc3339(*hit.opened_at) : "";
    if (line.json) {
      JsonOut one = {{"kind", kind_name(hit.kind)}, {"dir", hit.dir}, {"id", hit.id}, {"board", hit.board}};
      if (!hit.refdes.empty()) one["refdes"] = hit.refdes;
      if (!hit.title.empty()) one["title"] = hit.title;
      if (!hit.excerpt.empty()) one["excerpt"] = hit.excerpt;
      if (!hit.symptom.empty()) one["symptom"] = hit.symptom;
      if (!hit.outcome.empty()) one["outcome"] = hit.outcome;
      if (!opened.empty()) one["opened_at"] = opened;
      list.push_back(one);
      continue;
    }
    std::string text = std::string(kind_name(hit.kind)) + "  " + hit.board;
    if (!hit.refdes.empty()) text += "  " + hit.refdes;
    if (hit.kind != HitKind::board && !hit.title.empty()) text += "  " + hit.title;
    if (!hit.symptom.empty()) text += "  [" + hit.symptom + "]";
    if (!opened.empty()) text += "  " + opened.substr(0, 10) + (hit.outcome.empty() ? "" : " " + hit.outcome);
    print(text + "\n      " + hit.dir + (hit.excerpt.empty() ? "" : "  " + hit.excerpt) + "\n");
  }
  if (line.json) print_json({{"hits", list}});
  else if (hits->empty()) print("nothing found\n");
  if (hits->empty()) line.outcome = Outcome::finding;
}

}  // namespace

void add_find_command(CommandLine& line) {
  const auto options = std::make_shared<FindOptions>();
  CLI::App* app = line.app->add_subcommand("find", "Find jobs, boards and marks by the start of any words in them");
  app->add_option("WORDS", options->words, "all must be there; without any, the newest jobs");
  app->add_option("--board", options->board, "words of its maker, model or revision");
  app->add_option("--refdes", options->refdes, "a designator, whole");
  app->add_option("--since", options->since, "jobs opened on that day or later");
  app->add_option("--most", options->most, "how many at most")->check(CLI::Range(1, 10000));
  app->add_option("--index", options->file, "the index's file; $BOARDLORE_INDEX or the user's cache folder without it");
  app->add_flag("--refresh", options->refresh, "look for changed files first");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, options] { run_find(line, *options); });
}

}  // namespace boardlore
