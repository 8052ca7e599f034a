// boardlore symptom DIR [WORDS]: the shop's short list of symptoms, and which of them a job has.
//
// What owners say is spelled anew each time; faults can only be counted where like jobs carry like words. So a
// board keeps a short list, and a job is given one of it.
#include <memory>

#include "commands/command_support.h"
#include "storage/shop_index.h"

namespace boardlore {
namespace {

struct SymptomOptions {
  std::string dir, words;
  bool drop = false;
};

std::vector<std::string> known_symptoms(const Layer& layer) {
  std::vector<std::string> known = layer.settings.symptoms;
  // A second opinion only: the list stands without an index.
  if (std::error_code error; std::filesystem::exists(ShopIndex::usual_place(), error))
    if (Result<ShopIndex> index = ShopIndex::open(ShopIndex::usual_place()))
      if (const Result<std::vector<std::string>> used = index->symptoms(layer.id)) known.insert(known.end(), used->begin(), used->end());
  return known;
}

void show(CommandLine& line, const Folder& folder, const std::vector<std::string>& list) {
  if (line.json) {
    JsonOut out = {{"symptoms", list}};
    if (folder.is_job()) out["symptom"] = folder.now().job->symptom;
    return print_json(out);
  }
  if (folder.is_job()) print("this job: " + (folder.now().job->symptom.empty() ? "none yet" : folder.now().job->symptom) + "\n");
  for (const std::string& symptom : list) print("  " + symptom + "\n");
  if (list.empty()) print("  no symptoms listed yet\n");
}

void run_symptom(CommandLine& line, const SymptomOptions& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const std::vector<std::string> known = known_symptoms(*folder->now().layer);
  if (given.words.empty()) return show(line, *folder, suggest_symptoms(known, ""));
  if (folder->is_job()) {
    Job job = *folder->now().job;
    // Spelled as the list has it, so that "No power." and "no power" stay one group.
    job.symptom = given.drop ? "" : given.words;
    for (const std::string& symptom : known)
      if (!given.drop && same_symptom(symptom, given.words)) {
        job.symptom = symptom;
        break;
      }
    if (failed(line, folder->commit(ChangeJob{job, "symptom"})) || failed(line, folder->save())) return;
    return show(line, *folder, suggest_symptoms(known, given.words));
  }
  LayerSettings settings = folder->now().layer->settings;
  const auto listed = std::find_if(settings.symptoms.begin(), settings.symptoms.end(), [&](const std::string& one) { return same_symptom(one, given.words); });
  if (given.drop && listed == settings.symptoms.end())
    return complain(line, Problem{given.dir, "symptoms", "one of the list", "\"" + given.words + "\"", Outcome::finding});
  if (given.drop) settings.symptoms.erase(listed);
  else if (listed == settings.symptoms.end()) settings.symptoms.push_back(given.words);
  if (failed(line, folder->commit(SetSettings{settings})) || failed(line, folder->save())) return;
  show(line, *folder, settings.symptoms);
}

}  // namespace

void add_symptom_command(CommandLine& line) {
  const auto given = std::make_shared<SymptomOptions>();
  CLI::App* app = line.app->add_subcommand("symptom", "The shop's short list of symptoms; the symptom of a job");
  app->add_option("DIR", given->dir, "a board: its list; a job: which symptom it has")->required();
  app->add_option("WORDS", given->words, "a board: put on the list; a job: what it has; shows them without");
  app->add_flag("--drop", given->drop, "take it off again");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_symptom(line, *given); });
}

}  // namespace boardlore
