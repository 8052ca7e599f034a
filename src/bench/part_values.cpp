#include "bench/part_values.h"

#include <algorithm>
#include <cctype>

#include "bench/widgets.h"
#include "editing/mark_rules.h"
#include "judging/cautions.h"
#include "judging/designator.h"
#include "judging/discharge.h"
#include "judging/limit_templates.h"
#include "values/marking_codes.h"
#include "values/preferred_values.h"
#include "values/si_number.h"

namespace boardlore {
namespace {

std::string limit_words(const std::optional<double>& value, Quantity quantity) { return value ? print_engineering(*value, quantity) : std::string(); }

void put_limits(const Scene& scene, const Mark& mark, std::vector<Limit> limits, const std::string& name) {
  Mark changed = mark;
  changed.limits = std::move(limits);
  changed.changed_at = scene.now();
  scene.intents.commit(name + spoken_name(mark), {ChangeMark{std::move(changed), ""}});
}

bool same_point(const Limit& a, const Limit& b) { return a.quantity == b.quantity && a.pin == b.pin && a.power == b.power; }

bool taken(const std::vector<Limit>& limits, const Limit& asked) {
  return std::any_of(limits.begin(), limits.end(), [&](const Limit& one) { return same_point(one, asked); });
}

// Under which power a limit holds: a click goes on to the next for which there is none yet.
void draw_power(const Scene& scene, const Mark& mark, std::size_t index) {
  const Limit& limit = mark.limits[index];
  ImGui::SameLine(0, scene.theme.grid(2));
  ImGui::PushFont(scene.fonts.small);
  ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, ImVec2(scene.theme.grid(1.5F), 0));
  const std::string name = "limit-power-" + std::to_string(index);
  const std::string words = !limit.power ? "power on or off" : *limit.power == Power::on ? "power on" : "power off";
  const bool clicked = ImGui::Button((words + "##" + name).c_str());
  ImGui::PopStyleVar();
  ImGui::PopFont();
  scene.anchors.note(name);
  tooltip(scene, "Holds with power on or off, off only, on only");
  if (!clicked) return;
  std::vector<Limit> limits = mark.limits;
  for (int turn = 0; turn < 2; ++turn) {
    auto& power = limits[index].power;
    power = !power ? std::optional(Power::off) : *power == Power::off ? std::optional(Power::on) : std::nullopt;
    if (!taken(mark.limits, limits[index])) return put_limits(scene, mark, std::move(limits), "limit of ");
  }
}

std::string with_unit(double value, const char* unit) {
  std::string words = print_engineering(value, Quantity::voltage, 3);
  words.pop_back();  // its own unit, one letter
  return words + unit;
}

}  // namespace

std::optional<double> amount_typed(const std::string& words, SiUnit unit) {
  const ParsedNumber parsed = parse_si_number(words);
  const auto* number = std::get_if<SiNumber>(&parsed);
  if (!number || number->comma_doubt || (number->unit && *number->unit != unit)) return std::nullopt;
  return number->value;
}

void draw_marking_meanings(const Scene& scene, const std::string& marking) {
  const std::vector<CodeReading> readings = decode_marking(marking);
  for (std::size_t i = 0; i < readings.size() && i < 4; ++i) {
    const std::string preferred = preferred_words(readings[i].value, readings[i].quantity);
    quiet_wrapped(scene, (i == 0 ? "can mean " : "or ") + print_code_reading(readings[i]) + "  (" + readings[i].standard + ")" +
                             (preferred.empty() ? "" : ", " + preferred) + (readings[i].note.empty() ? "" : "; " + readings[i].note));
    if (i == 0) scene.anchors.note("marking-meaning");
  }
}

void draw_limits(const Scene& scene, const Mark& mark, PartValues& values) {
  const Theme& t = scene.theme;
  if (values.of != mark.id || values.low.size() != mark.limits.size()) {
    values.of = mark.id;
    values.low.clear(), values.high.clear(), values.source.clear();
    for (const Limit& limit : mark.limits) {
      values.low.push_back(limit_words(limit.low, limit.quantity));
      values.high.push_back(limit_words(limit.high, limit.quantity));
      values.source.push_back(limit.source);
    }
  }
  separator(scene);
  text(scene, scene.fonts.strong, t.text, "Should read");
  const float third = (ImGui::GetContentRegionAvail().x - t.grid(12)) / 3;
  for (std::size_t i = 0; i < mark.limits.size(); ++i) {
    const Limit& limit = mark.limits[i];
    const std::string n = std::to_string(i);
    quiet(scene, (limit.pin.empty() ? "" : "pin " + limit.pin + "  ") + std::string(quantity_name(limit.quantity)));
    draw_power(scene, mark, i);
    bool done = field(scene, ("limit-low-" + n).c_str(), "at least", values.low[i], third);
    ImGui::SameLine(0, t.grid(1));
    done |= field(scene, ("limit-high-" + n).c_str(), "at most", values.high[i], third);
    ImGui::SameLine(0, t.grid(1));
    done |= field(scene, ("limit-source-" + n).c_str(), "where from", values.source[i], third);
    ImGui::SameLine(0, t.grid(1));
    if (symbol_button(scene, ("limit-away-" + n).c_str(), symbol::cross, "Take this limit away")) {
      std::vector<Limit> limits = mark.limits;
      limits.erase(limits.begin() + static_cast<std::ptrdiff_t>(i));
      put_limits(scene, mark, std::move(limits), "remove limit of ");
    }
    if (!done) continue;
    std::vector<Limit> limits = mark.limits;
    bool understood = true;
    for (const auto& [words, bound] : {std::pair{&values.low[i], &limits[i].low}, std::pair{&values.high[i], &limits[i].high}}) {
      *bound = words->empty() ? std::nullopt : amount_typed(*words, unit_of(limit.quantity));
      if (!words->empty() && !*bound) {
        const bool low = words == &values.low[i];
        scene.faults.refuse((low ? "limit-low-" : "limit-high-") + n, *words, "Expected a value in " + std::string(unit_symbol(limit.quantity)) + ", as 0.40 or 10k.",
                            limit_words(low ? limit.low : limit.high, limit.quantity));
        understood = false;
      }
    }
    if (understood && limits[i].low && limits[i].high && *limits[i].low > *limits[i].high) {
      const bool low = limits[i].low != limit.low;
      scene.faults.refuse((low ? "limit-low-" : "limit-high-") + n, low ? values.low[i] : values.high[i],
                          low ? "Expected at most " + values.high[i] + ", the upper limit." : "Expected at least " + values.low[i] + ", the lower limit.",
                          limit_words(low ? limit.low : limit.high, limit.quantity));
      understood = false;
    }
    limits[i].source = values.source[i];
    if (understood && limits[i] != limit) put_limits(scene, mark, std::move(limits), "limit of ");
  }
  if (button(scene, "limit-templates", std::string(symbol::plus) + "  Limit from a template")) {
    values.limits_open = !values.limits_open;
    if (values.limits_open) ImGui::SetScrollHereY(0);  // what opens lies below it
  }
  if (!values.limits_open) return;
  captioned_field(scene, "limit-pin", "For pin", "the part as a whole", values.pin);
  std::string pin = values.pin;
  for (char& c : pin) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  // One limit a pin, quantity and power: a template takes the place of the one there was, and undo brings it back.
  const auto add = [&](Limit limit) {
    std::vector<Limit> limits = mark.limits;
    const auto there = std::find_if(limits.begin(), limits.end(), [&](const Limit& one) { return same_point(one, limit); });
    if (there == limits.end()) limits.push_back(std::move(limit));
    else limit.id = there->id, *there = std::move(limit);
    put_limits(scene, mark, std::move(limits), "limit of ");
    values.limits_open = false;
  };
  quiet(scene, "Without a template, of");
  bool first = true;
  for (const Quantity quantity : {Quantity::resistance, Quantity::diode, Quantity::voltage, Quantity::capacitance, Quantity::inductance, Quantity::current, Quantity::frequency}) {
    // Three a row: the card is narrow.
    if (!first && quantity != Quantity::capacitance && quantity != Quantity::frequency) ImGui::SameLine(0, t.grid(1));
    first = false;
    const std::string name = "limit-of-" + std::string(quantity_name(quantity));
    if (button(scene, name.c_str(), std::string(quantity_name(quantity)))) {
      Limit limit;
      limit.id = scene.new_id();
      limit.quantity = quantity, limit.pin = pin;
      if (taken(mark.limits, limit)) scene.faults.refuse("limit-pin", values.pin, "It has a limit of " + std::string(quantity_name(quantity)) + " already: change that one above, or name another pin.");
      else add(std::move(limit));
    }
  }
  for (const LimitTemplate& from : limit_templates()) {
    const std::string name = "template-" + std::string(from.name);
    if (button(scene, name.c_str(), shortened(scene.fonts.body, std::string(from.title), ImGui::GetContentRegionAvail().x - t.grid(8)))) {
      add(limit_from(from, pin, scene.new_id()));
    }
    quiet_wrapped(scene, (from.low ? "at least " + print_engineering(*from.low, from.quantity) + " " : std::string()) +
                             (from.high ? "at most " + print_engineering(*from.high, from.quantity) + " " : std::string()) + "(" +
                             std::string(from.source) + "). " + std::string(from.advice));
  }
}

void draw_discharge(const Scene& scene, const Mark& mark, PartValues& values) {
  if (part_class(mark.refdes) != PartClass::capacitor) return;
  const CapacitorRating rating = rating_of(mark.value);
  const Theme& t = scene.theme;
  if (button(scene, "discharge", "Discharge it through a resistor …")) {
    values.discharge_open = !values.discharge_open;
    if (values.farad.empty() && rating.farad) values.farad = print_engineering(*rating.farad, Quantity::capacitance);
    if (values.volt.empty() && rating.volt) values.volt = print_engineering(*rating.volt, Quantity::voltage);
  }
  if (!values.discharge_open) return;
  const float half = (ImGui::GetContentRegionAvail().x - t.grid(2)) / 2;
  const auto amount = [&](const char* name, const char* caption, const char* example, std::string& words, SiUnit unit, float width) {
    if (captioned_field(scene, name, caption, example, words, width) && !words.empty() && !amount_typed(words, unit))
      scene.faults.refuse(name, words, std::string("Expected a number, as ") + example + ".");
  };
  amount("discharge-capacitance", "Capacitance", "470u", values.farad, SiUnit::farad, half);
  ImGui::SameLine(0, t.grid(2));
  amount("discharge-from", "Charged to", "325 V", values.volt, SiUnit::volt, half);
  const float third = (ImGui::GetContentRegionAvail().x - 2 * t.grid(2)) / 3;
  amount("discharge-through", "Resistor", "as 10k", values.through, SiUnit::ohm, third);
  ImGui::SameLine(0, t.grid(2));
  amount("discharge-rating", "Its rating, W", "5", values.rating, SiUnit::volt, third);
  ImGui::SameLine(0, t.grid(2));
  amount("discharge-to", "Down to", "60 V", values.safe, SiUnit::volt, third);
  const auto farad = amount_typed(values.farad, SiUnit::farad);
  const auto volt = amount_typed(values.volt, SiUnit::volt), ohm = amount_typed(values.through, SiUnit::ohm);
  const auto watt = values.rating.empty() ? std::nullopt : amount_typed(values.rating, SiUnit::volt);
  const auto safe = values.safe.empty() ? std::optional(default_safe_v) : amount_typed(values.safe, SiUnit::volt);
  if (!farad || *farad >= 1 || !volt || !ohm || !safe) return quiet_wrapped(scene, "Type capacitance, voltage and resistor, as 470u, 325 V and 10k.");
  const Result<DischargePlan> plan = plan_discharge(*farad, *volt, *ohm, *safe, watt);
  if (!plan) return quiet_wrapped(scene, "Expected " + plan.problem().expected + ", found " + plan.problem().found);
  const auto line = [&](const char* name, const std::string& words) {
    quiet(scene, name);
    ImGui::SameLine(t.grid(22));
    text(scene, scene.fonts.small, t.text, words);
  };
  line("stored energy", with_unit(plan->energy_j, "J"));
  line(("to " + with_unit(plan->safe_v, "V")).c_str(), with_unit(plan->time_s, "s") + ", at worst " + with_unit(plan->time_worst_s, "s"));
  line("power", with_unit(plan->peak_power_w, "W") + " at first, " + with_unit(plan->average_power_w, "W") + " mean");
  ImGui::PushTextWrapPos(0);
  if (!plan->rating_words.empty())
    text(scene, scene.fonts.small, plan->rating_suffices && !*plan->rating_suffices ? t.bad : t.quiet, plan->rating_words);
  ImGui::PopTextWrapPos();
  quiet_wrapped(scene, "End: " + (values.safe.empty() ? std::string(default_safe_source) : with_unit(plan->safe_v, "V") + ", as chosen here"));
  scene.anchors.note("discharge-plan");
  for (const std::string& caution : plan->cautions) {
    ImGui::PushTextWrapPos(0);
    text(scene, scene.fonts.small, t.doubtful, std::string(symbol::warning) + "  " + caution);
    ImGui::PopTextWrapPos();
  }
}

}  // namespace boardlore
