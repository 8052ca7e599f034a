// boardlore readings JOBDIR: all readings of a job with their verdicts; as a table, JSON or CSV.
#include "commands/command_support.h"
#include "commands/judgement_json.h"
#include "commands/text_table.h"
#include "judging/readings_table.h"

namespace boardlore {
namespace {

struct ReadingsOptions {
  std::string dir, text, quantity, order = "taken";
  bool csv = false, out_only = false, descending = false;
};

void run_readings(CommandLine& line, const ReadingsOptions& given) {
  const Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  if (!folder->is_job()) return complain(line, {given.dir, "", "a job folder", "a board folder"});
  ReadingFilter filter{given.text, std::nullopt, given.out_only};
  if (!given.quantity.empty() && !(filter.quantity = parse_quantity_name(given.quantity)))
    return complain(line, {"", "--quantity", "resistance, capacitance, inductance, voltage, diode, current, frequency or temperature", given.quantity});
  const Snapshot& now = folder->now();
  const std::vector<ReadingRow> rows = reading_rows(*now.layer, *now.job, filter, *parse_reading_order(given.order), given.descending, folder->session().now());
  if (given.csv) {
    std::fputs(readings_csv(rows).c_str(), stdout);
  } else if (line.json) {
    JsonOut json = JsonOut::array();
    for (const ReadingRow& row : rows) {
      JsonOut one = json_reading(row.reading);
      one.update(json_judgement(row.judgement));
      json.push_back(std::move(one));
    }
    print_json(json);
  } else {
    std::vector<std::vector<std::string>> table;
    for (const ReadingRow& row : rows)
      table.push_back({row.reading.refdes + (row.reading.pin.empty() ? "" : "." + row.reading.pin), std::string(quantity_name(row.reading.quantity)), row.value,
                       to_rfc3339(row.reading.taken_at), std::string(verdict_words(row.judgement.verdict)), row.judgement.reason});
    print(table.empty() ? "no readings\n" : text_table(table));
  }
}

}  // namespace

void add_readings_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("readings", "List all readings of a job with their verdicts");
  auto given = std::make_shared<ReadingsOptions>();
  app->add_option("JOBDIR", given->dir, "job folder")->required();
  app->add_option("--find", given->text, "only where designator, words or verdict contain this");
  app->add_option("--quantity", given->quantity, "only this quantity");
  app->add_option("--sort", given->order, "order of the rows")->check(CLI::IsMember({"taken", "refdes", "quantity", "verdict", "value"}));
  app->add_flag("--descending", given->descending, "the other way round");
  app->add_flag("--out-of-limits", given->out_only, "only short, open, low and high");
  CLI::Option* csv = app->add_flag("--csv", given->csv, "CSV (RFC 4180) on stdout");
  app->add_flag("--json", line.json, "one JSON document on stdout")->excludes(csv);
  app->callback([&line, given] { run_readings(line, *given); });
}

}  // namespace boardlore
