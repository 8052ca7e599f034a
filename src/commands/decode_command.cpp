// boardlore decode CODE...: every value a marking can mean, with the standard, and the preferred values near it.
#include <cmath>

#include "commands/command_support.h"
#include "commands/text_table.h"
#include "values/marking_codes.h"
#include "values/preferred_values.h"
#include "values/si_number.h"

namespace boardlore {
namespace {

bool has_preferred(Quantity quantity, double value) {
  return value > 0 && (quantity == Quantity::resistance || quantity == Quantity::capacitance || quantity == Quantity::inductance);
}

std::string percent(double part) {
  char text[32];
  std::snprintf(text, sizeof text, "%+.2f %%", part * 100);
  return text;
}

JsonOut json_preferred(double value) {
  JsonOut json = JsonOut::object();
  for (const int series : preferred_series) {
    if (series == 3) continue;
    const PreferredValue near = nearest_preferred(value, series);
    json["E" + std::to_string(series)] = {{"value", near.value}, {"deviation", near.deviation}};
  }
  return json;
}

void run_decode(CommandLine& line, const std::vector<std::string>& codes, const std::string& value) {
  JsonOut json = JsonOut::array();
  std::string text;
  for (const std::string& code : codes) {
    const std::vector<CodeReading> readings = decode_marking(code);
    JsonOut rows = JsonOut::array();
    std::vector<std::vector<std::string>> table;
    for (const CodeReading& reading : readings) {
      JsonOut row{{"quantity", quantity_name(reading.quantity)}, {"value", reading.value}, {"unit", ucum_code(reading.quantity)},
                  {"printed", print_code_reading(reading)}, {"standard", reading.standard}};
      if (reading.rated_v) row["rated_v"] = *reading.rated_v;
      if (!reading.note.empty()) row["note"] = reading.note;
      const bool preferred = has_preferred(reading.quantity, reading.value);
      if (preferred) row["preferred"] = json_preferred(reading.value);
      rows.push_back(std::move(row));
      table.push_back({"  " + print_code_reading(reading), reading.standard + (reading.note.empty() ? "" : " (" + reading.note + ")"),
                       preferred_words(reading.value, reading.quantity)});
    }
    json.push_back({{"code", code}, {"readings", rows}});
    text += code + (readings.empty() ? ": no code known here\n" : readings.size() == 1 ? ":\n" : ": " + std::to_string(readings.size()) + " readings, the part decides\n") + text_table(table);
    if (readings.empty()) line.outcome = Outcome::finding;
  }
  if (!value.empty()) {
    const ParsedNumber parsed = parse_si_number(value);
    const auto* number = std::get_if<SiNumber>(&parsed);
    if (!number || number->comma_doubt || !(number->value > 0)) return complain(line, {"", "--value", "a value above 0, as in 4.95k", value});
    const Quantity quantity = number->unit ? quantity_of(*number->unit) : Quantity::resistance;
    if (line.json) json.push_back({{"value", number->value}, {"preferred", json_preferred(number->value)}});
    text += value + ":\n";
    for (const int series : preferred_series) {
      if (series == 3) continue;
      const PreferredValue near = nearest_preferred(number->value, series);
      const std::string printed = number->unit ? print_engineering(near.value, quantity) : print_si_number(si_number_from(near.value, SiUnit::celsius, 6), Quantity::temperature);
      text += "  E" + std::to_string(series) + "  " + (number->unit ? printed : printed.substr(0, printed.find(' '))) + "  deviation " + percent(near.deviation) + "\n";
    }
  }
  if (line.json) print_json(json);
  else print(text + "Codes: IEC 60062, EIA-96; preferred values: IEC 60063.\n");
}

}  // namespace

void add_decode_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("decode", "Read a part's marking: every value it can mean, with the standard");
  struct Given {
    std::vector<std::string> codes;
    std::string value;
  };
  auto given = std::make_shared<Given>();
  app->add_option("CODE", given->codes, "as printed: 01C, 4K7J, 104, A475");
  app->add_option("--value", given->value, "show the preferred values nearest to this value instead");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] {
    if (given->codes.empty() && given->value.empty()) return complain(line, {"", "CODE", "a marking or --value", "neither"});
    run_decode(line, given->codes, given->value);
  });
}

}  // namespace boardlore
