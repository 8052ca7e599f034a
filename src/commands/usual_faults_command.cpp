// boardlore usual-faults BOARDDIR: what cured a symptom on this model before.
#include <cstdio>
#include <memory>

#include "commands/command_support.h"
#include "storage/shop_file.h"
#include "storage/shop_index.h"

namespace boardlore {
namespace {

struct UsualFaultsOptions {
  std::string dir, symptom, file;
};

std::string counted(int jobs) { return std::to_string(jobs) + (jobs == 1 ? " job" : " jobs"); }

JsonOut json_of(const UsualFaults& ranked) {
  JsonOut list = JsonOut::array();
  for (const UsualFault& fault : ranked.faults)
    list.push_back({{"refdes", fault.cure.refdes}, {"cure", fault.cure.what}, {"cured", fault.cured}, {"of_jobs", fault.fixed_jobs},
                    {"share_low", fault.interval.low}, {"share_high", fault.interval.high}, {"last_month", fault.last_month}});
  return {{"jobs", ranked.jobs}, {"counted_jobs", ranked.fixed_jobs}, {"few", ranked.few()}, {"faults", list}};
}

void print_faults(const UsualFaults& ranked, const std::string& heading) {
  print(heading + "\n");
  if (ranked.fixed_jobs > 0 && ranked.few()) print("  few jobs: the shares say little\n");
  for (const UsualFault& fault : ranked.faults) {
    char numbers[96];
    std::snprintf(numbers, sizeof numbers, "%d of %s, %.0f to %.0f %%", fault.cured, counted(fault.fixed_jobs).c_str(), 100 * fault.interval.low,
                  100 * fault.interval.high);
    print("  " + (fault.cure.refdes.empty() ? "(no designator)" : fault.cure.refdes) + " " + fault.cure.what + ": " + numbers +
          (fault.last_month.empty() ? "" : ", last " + fault.last_month) + "\n");
  }
  if (ranked.faults.empty()) print("  nothing yet\n");
}

void run_usual_faults(CommandLine& line, const UsualFaultsOptions& options) {
  const Result<Folder> folder = open_folder(line, options.dir);
  if (failed(line, folder)) return;
  const Layer& layer = *folder->now().layer;
  Result<ShopIndex> index = ShopIndex::open(options.file.empty() ? ShopIndex::usual_place() : std::filesystem::path(options.file));
  if (failed(line, index)) return;
  const Result<std::vector<PastJob>> jobs = index->past_jobs(layer.id);
  if (failed(line, jobs)) return;
  std::vector<std::string> known = layer.settings.symptoms;
  if (const Result<std::vector<std::string>> used = index->symptoms(layer.id)) known.insert(known.end(), used->begin(), used->end());
  const Result<Shop> shop = load_shop(shop_file_beside(folder->board_dir()));
  if (failed(line, shop)) return;
  const UsualFaults own = usual_faults(*jobs, options.symptom), shared = shared_faults(layer, options.symptom, shop->counts_as);
  // Those that fit what was typed; where none does, all there are.
  std::vector<std::string> suggestions = suggest_symptoms(known, own.jobs + shared.jobs == 0 ? options.symptom : "");
  if (suggestions.empty()) suggestions = suggest_symptoms(known, "");
  if (line.json) {
    print_json({{"board", layer.board.model}, {"symptom", options.symptom}, {"own", json_of(own)}, {"shared", json_of(shared)}, {"symptoms", suggestions}});
  } else {
    const std::string symptom = options.symptom.empty() ? "all symptoms" : "\"" + options.symptom + "\"";
    print_faults(own, "This shop, " + symptom + ": " + counted(own.jobs) + ", " + std::to_string(own.fixed_jobs) +
                          " fixed (share of fixed jobs, 95 % interval)");
    if (!shared.faults.empty() || shared.jobs > 0)
      print_faults(shared, "Other shops, by the layer: " + counted(shared.jobs) + " (share of all jobs, 95 % interval)");
    if (own.jobs + shared.jobs == 0 && !suggestions.empty()) {
      print("symptoms in use:\n");
      for (const std::string& suggestion : suggestions) print("  " + suggestion + "\n");
    }
  }
  if (own.faults.empty() && shared.faults.empty()) line.outcome = Outcome::finding;
}

}  // namespace

void add_usual_faults_command(CommandLine& line) {
  const auto options = std::make_shared<UsualFaultsOptions>();
  CLI::App* app = line.app->add_subcommand("usual-faults", "Which parts and actions cured a symptom on this board model");
  app->add_option("BOARDDIR", options->dir, "board (or job) folder")->required();
  app->add_option("--symptom", options->symptom, "as in the shop's list; all without it");
  app->add_option("--index", options->file, "the index's file; $BOARDLORE_INDEX or the user's cache folder without it");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, options] { run_usual_faults(line, *options); });
}

}  // namespace boardlore
