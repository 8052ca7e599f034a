// boardlore discharge 470u 325V --through 10k: how long and how hot; never that touching is safe.
#include "commands/command_support.h"
#include "judging/discharge.h"
#include "values/si_number.h"

namespace boardlore {
namespace {

struct DischargeOptions {
  std::string capacitance, voltage, through, safe, rating;
};

Result<double> value_in(const std::string& text, SiUnit unit, const char* what, const char* expected) {
  const ParsedNumber parsed = parse_si_number(text);
  const auto* number = std::get_if<SiNumber>(&parsed);
  if (number && !number->comma_doubt && (!number->unit || *number->unit == unit)) return number->value;
  return Problem{"", what, expected, "\"" + text + "\""};
}

std::string amount(double value, const char* unit) {
  std::string text = print_engineering(value, Quantity::voltage, 3);  // prefix and digits; the unit is put in below
  text.pop_back();
  return text + unit;
}

void run_discharge(CommandLine& line, const DischargeOptions& given) {
  const auto capacitance = value_in(given.capacitance, SiUnit::farad, "capacitance", "farads with a prefix, as in 470u");
  const auto voltage = value_in(given.voltage, SiUnit::volt, "voltage", "volts, as in 325V");
  const auto through = value_in(given.through, SiUnit::ohm, "--through", "ohms, as in 10k");
  const auto safe = given.safe.empty() ? Result<double>(default_safe_v) : value_in(given.safe, SiUnit::volt, "--safe", "volts, as in 60V");
  if (failed(line, capacitance) || failed(line, voltage) || failed(line, through) || failed(line, safe)) return;
  if (*capacitance >= 1) return complain(line, {"", "capacitance", "less than 1 F, with a prefix, as in 470u", given.capacitance});
  std::optional<double> rating_w;
  if (!given.rating.empty()) {
    std::string text = given.rating;
    if (text.back() == 'W') text.pop_back();
    const auto rating = value_in(text, SiUnit::volt, "--rating", "watts, as in 5W or 500mW");
    if (failed(line, rating)) return;
    rating_w = *rating;
  }
  const Result<DischargePlan> planned = plan_discharge(*capacitance, *voltage, *through, *safe, rating_w);
  if (failed(line, planned)) return;
  const DischargePlan& plan = *planned;
  const std::string source = given.safe.empty() ? default_safe_source : "chosen";
  if (line.json) {
    JsonOut json{{"capacitance_f", plan.capacitance_f}, {"start_v", plan.start_v}, {"resistance_ohm", plan.resistance_ohm}, {"safe_v", plan.safe_v},
                 {"safe_source", source}, {"energy_j", plan.energy_j}, {"time_constant_s", plan.time_constant_s}, {"time_s", plan.time_s},
                 {"time_worst_s", plan.time_worst_s}, {"time_to_1v_s", plan.time_to_1v_s}, {"peak_current_a", plan.peak_current_a},
                 {"peak_power_w", plan.peak_power_w}, {"average_power_w", plan.average_power_w},
                 {"rating_suffices", plan.rating_suffices ? JsonOut(*plan.rating_suffices) : JsonOut()}, {"rating", plan.rating_words}, {"cautions", plan.cautions}};
    print_json(json);
  } else {
    std::string text = "stored energy       " + amount(plan.energy_j, "J") + "\n";
    text += "time constant       " + amount(plan.time_constant_s, "s") + "\n";
    text += "to " + amount(plan.safe_v, "V") + "             " + amount(plan.time_s, "s") + "; with 20 % more capacitance " + amount(plan.time_worst_s, "s") + "  (" + source + ")\n";
    text += "to 1 V              " + amount(plan.time_to_1v_s, "s") + "\n";
    text += "first current       " + amount(plan.peak_current_a, "A") + "\n";
    text += "power               " + amount(plan.peak_power_w, "W") + " at first, " + amount(plan.average_power_w, "W") + " on average until then\n";
    text += "resistor            " + plan.rating_words + "\n";
    for (const std::string& caution : plan.cautions) text += "caution: " + caution + "\n";
    print(text);
  }
  if (plan.rating_suffices && !*plan.rating_suffices) line.outcome = Outcome::finding;
}

}  // namespace

void add_discharge_command(CommandLine& line) {
  CLI::App* app = line.app->add_subcommand("discharge", "Plan the discharge of a capacitor through a resistor");
  auto given = std::make_shared<DischargeOptions>();
  app->add_option("CAPACITANCE", given->capacitance, "as in 470u")->required();
  app->add_option("VOLTAGE", given->voltage, "as in 325V")->required();
  app->add_option("--through", given->through, "the resistor, as in 10k")->required();
  app->add_option("--safe", given->safe, "voltage to fall to; default 60 V");
  app->add_option("--rating", given->rating, "the resistor's rating, as in 5W");
  app->add_flag("--json", line.json, "one JSON document on stdout");
  app->callback([&line, given] { run_discharge(line, *given); });
}

}  // namespace boardlore
