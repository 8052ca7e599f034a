// boardlore limit set | template | templates | thresholds: what readings on a mark should be.
#include "commands/command_support.h"
#include "commands/text_table.h"
#include "domain/layer.h"
#include "judging/limit_templates.h"
#include "values/si_number.h"

namespace boardlore {
namespace {

struct LimitOptions {
  std::string dir, point, quantity, low, high, source, power, name, short_below, open_above, charging_above;
  bool remove = false;
};

// "0.40", "10k", "0.4 V": in the unit of the quantity.
Result<double> limit_value(const std::string& text, Quantity quantity, const std::string& option) {
  const ParsedNumber parsed = parse_si_number(text);
  const auto* number = std::get_if<SiNumber>(&parsed);
  if (number && !number->comma_doubt && (!number->unit || *number->unit == unit_of(quantity))) return number->value;
  return Problem{"", option, "a number in " + std::string(unit_symbol(quantity)) + ", as in 0.40 or 10k", "\"" + text + "\""};
}

struct Point {
  Mark mark;
  std::string pin;
};

Result<Point> point_named(const Folder& folder, const std::string& text) {
  const std::size_t dot = text.find('.');
  const Result<MarkPtr> mark = mark_named(folder, text.substr(0, dot));
  if (!mark) return mark.problem();
  std::string pin = dot == std::string::npos ? "" : text.substr(dot + 1);
  for (char& c : pin) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return Point{**mark, pin};
}

std::optional<Power> given_power(const LimitOptions& given) {
  if (given.power.empty()) return std::nullopt;
  return given.power == "on" ? Power::on : Power::off;
}

std::string print_limit(const Limit& limit) {
  std::string text(quantity_name(limit.quantity));
  if (limit.low) text += " from " + print_engineering(*limit.low, limit.quantity);
  if (limit.high) text += " to " + print_engineering(*limit.high, limit.quantity);
  if (limit.power) text += *limit.power == Power::on ? ", power on" : ", power off";
  return text + " (" + (limit.source.empty() ? "no source given" : limit.source) + ")";
}

// Puts the limit in the place of one for the same pin, quantity and power state.
void keep_limit(CommandLine& line, Folder& folder, Point point, const Limit& limit, bool remove) {
  auto& limits = point.mark.limits;
  const std::size_t before = limits.size();
  Id kept;
  std::erase_if(limits, [&](const Limit& old) {
    const bool same = old.quantity == limit.quantity && old.pin == limit.pin && old.power == limit.power;
    if (same) kept = old.id;
    return same;
  });
  if (remove && limits.size() == before) return complain(line, {"", point.mark.refdes, "a limit for this pin, quantity and power state", "none"});
  if (!remove) {
    limits.push_back(limit);
    if (!kept.empty()) limits.back().id = kept;
  }
  point.mark.changed_at = folder.session().now();
  const std::string name = (remove ? "remove limit of " : "limit of ") + point.mark.refdes;
  if (failed(line, folder.commit(ChangeMark{point.mark, name})) || failed(line, folder.save())) return;
  const std::string spoken = point.mark.refdes + (limit.pin.empty() ? "" : "." + limit.pin);
  if (line.json)
    print_json({{"point", spoken}, {"removed", remove}, {"quantity", quantity_name(limit.quantity)}, {"low", limit.low ? JsonOut(*limit.low) : JsonOut()},
                {"high", limit.high ? JsonOut(*limit.high) : JsonOut()}, {"source", limit.source}});
  else
    print(spoken + ": " + (remove ? "limit taken away\n" : print_limit(limit) + "\n"));
}

void run_set(CommandLine& line, const LimitOptions& given) {
  const auto quantity = parse_quantity_name(given.quantity);
  if (!quantity) return complain(line, {"", "--quantity", "resistance, capacitance, inductance, voltage, diode, current, frequency or temperature", given.quantity});
  Limit limit{Id{}, *quantity, "", given_power(given), std::nullopt, std::nullopt, given.source, {}};
  for (const auto& [text, option, end] : {std::tuple(&given.low, "--low", &limit.low), std::tuple(&given.high, "--high", &limit.high)}) {
    if (text->empty()) continue;
    const Result<double> value = limit_value(*text, *quantity, option);
    if (failed(line, value)) return;
    *end = *value;
  }
  if (!given.remove && !limit.low && !limit.high) return complain(line, {"", "limit", "--low, --high or both", "neither"});
  if (limit.low && limit.high && *limit.low > *limit.high) return complain(line, {"", "--low", "at most the value of --high", given.low + " > " + given.high});
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<Point> point = point_named(*folder, given.point);
  if (failed(line, point)) return;
  limit.id = folder->session().new_id();
  limit.pin = point->pin;
  keep_limit(line, *folder, *point, limit, given.remove);
}

void run_template(CommandLine& line, const LimitOptions& given) {
  const LimitTemplate* from = find_limit_template(given.name);
  if (!from) {
    std::string names;
    for (const LimitTemplate& one : limit_templates()) names += (names.empty() ? "" : ", ") + std::string(one.name);
    return complain(line, {"", "template", "one of " + names, given.name});
  }
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  const Result<Point> point = point_named(*folder, given.point);
  if (failed(line, point)) return;
  keep_limit(line, *folder, *point, limit_from(*from, point->pin, folder->session().new_id()), false);
  if (!line.json && line.outcome == Outcome::done) print("  " + std::string(from->advice) + "\n");
}

void run_templates(CommandLine& line) {
  JsonOut json = JsonOut::array();
  std::vector<std::vector<std::string>> table;
  for (const LimitTemplate& one : limit_templates()) {
    const Limit limit = limit_from(one, "", Id{});
    if (line.json)
      json.push_back({{"name", one.name}, {"title", one.title}, {"quantity", quantity_name(one.quantity)}, {"low", one.low ? JsonOut(*one.low) : JsonOut()},
                      {"high", one.high ? JsonOut(*one.high) : JsonOut()}, {"source", one.source}, {"advice", one.advice}});
    else
      table.push_back({std::string(one.name), std::string(one.title), print_limit(limit)});
  }
  if (line.json) print_json(json);
  else print(text_table(table));
}

void run_thresholds(CommandLine& line, const LimitOptions& given) {
  Result<Folder> folder = open_folder(line, given.dir);
  if (failed(line, folder)) return;
  LayerSettings settings = folder->now().layer->settings;
  bool changed = false;
  for (const auto& [text, option, value] : {std::tuple(&given.short_below, "--short-below", &settings.short_below_ohm),
                                            std::tuple(&given.open_above, "--open-above", &settings.open_above_ohm),
                                            std::tuple(&given.charging_above, "--charging-above", &settings.charging_above_ohm)}) {
    if (text->empty()) continue;
    const Result<double> number = limit_value(*text, Quantity::resistance, option);
    if (failed(line, number)) return;
    if (!(*number > 0)) return complain(line, {"", option, "more than 0 Ω", *text});
    *value = *number;
    changed = true;
  }
  if (settings.short_below_ohm >= settings.open_above_ohm) return complain(line, {"", "--short-below", "less than --open-above", given.short_below});
  if (changed && (failed(line, folder->commit(SetSettings{settings})) || failed(line, folder->save()))) return;
  if (line.json)
    print_json({{"short_below_ohm", settings.short_below_ohm}, {"open_above_ohm", settings.open_above_ohm}, {"charging_above_ohm", settings.charging_above_ohm}});
  else
    print("short at or below " + print_engineering(settings.short_below_ohm, Quantity::resistance) + "; open at or above " +
          print_engineering(settings.open_above_ohm, Quantity::resistance) + "; rising above " +
          print_engineering(settings.charging_above_ohm, Quantity::resistance) + " is charging (defaults: common practice, no source)\n");
}

}  // namespace

void add_limit_command(CommandLine& line) {
  CLI::App* family = line.app->add_subcommand("limit", "What readings on a mark should be, and where that comes from");
  family->require_subcommand(1);
  auto given = std::make_shared<LimitOptions>();
  const auto subcommand = [&](const char* name, const char* about, bool names_dir, bool names_point) {
    CLI::App* app = family->add_subcommand(name, about);
    if (names_dir) app->add_option("DIR", given->dir, "board or job folder")->required();
    if (names_point) app->add_option("POINT", given->point, "designator, and pin where there is one: C14, U3.7")->required();
    app->add_flag("--json", line.json, "one JSON document on stdout");
    return app;
  };
  CLI::App* set = subcommand("set", "Set, change or remove a limit", true, true);
  set->add_option("--quantity", given->quantity, "what is measured")->required();
  set->add_option("--low", given->low, "lowest good value");
  set->add_option("--high", given->high, "highest good value");
  set->add_option("--power", given->power, "only in this power state")->check(CLI::IsMember({"on", "off"}));
  set->add_option("--source", given->source, "where the limit comes from");
  set->add_flag("--remove", given->remove, "take the limit away");
  set->callback([&line, given] { run_set(line, *given); });
  CLI::App* from = subcommand("template", "Apply a template to a mark", true, true);
  from->add_option("TEMPLATE", given->name, "see: limit templates")->required();
  from->callback([&line, given] { run_template(line, *given); });
  subcommand("templates", "List the templates", false, false)->callback([&line] { run_templates(line); });
  CLI::App* thresholds = subcommand("thresholds", "Show or set what counts as short, open and charging on this board", true, false);
  thresholds->add_option("--short-below", given->short_below, "a dead short at or below, in Ω");
  thresholds->add_option("--open-above", given->open_above, "open at or above, in Ω");
  thresholds->add_option("--charging-above", given->charging_above, "a rising reading above is a charging capacitor, in Ω");
  thresholds->callback([&line, given] { run_thresholds(line, *given); });
}

}  // namespace boardlore
