// An entry line written out: for people, and so that it parses to the same.
#include "judging/entry_line.h"

namespace boardlore {
namespace {

std::string_view qualifier_sign(Qualifier qualifier) {
  return qualifier == Qualifier::at_least ? "> " : qualifier == Qualifier::at_most ? "< " : "";
}

}  // namespace

std::string_view power_name(Power power) { return power == Power::on ? "on" : "off"; }

std::string_view trend_name(SaidTrend trend) {
  return trend == SaidTrend::rising ? "rising" : trend == SaidTrend::falling ? "falling" : "steady";
}

std::string understood(const EntryLine& line) {
  if (line.kind == EntryLine::Kind::job_note) return "note on the job: " + line.words;
  std::string text = line.refdes + (line.pin.empty() ? "" : " pin " + line.pin) + ": ";
  if (line.kind == EntryLine::Kind::note) return text + "note: " + line.words;
  if (line.kind == EntryLine::Kind::action) return text + line.what + (line.words.empty() ? "" : ": " + line.words);
  text += quantity_name(line.quantity);
  for (const EntryValue& value : line.values)
    text += (&value == &line.values.front() ? " " : ", ") +
            (value.qualifier == Qualifier::overload ? std::string("over range (OL)") : std::string(qualifier_sign(value.qualifier)) + print_si_number(value.number, line.quantity));
  text += ", power " + std::string(power_name(line.conditions.power));
  if (!line.conditions.red_lead.empty()) text += ", red on " + line.conditions.red_lead;
  if (!line.conditions.black_lead.empty()) text += ", black on " + line.conditions.black_lead;
  if (!line.conditions.instrument.empty()) text += ", with " + line.conditions.instrument;
  if (!line.conditions.ambient.empty()) text += ", " + line.conditions.ambient;
  if (line.said) text += ", " + std::string(trend_name(*line.said));
  if (!line.words.empty()) text += "; " + line.words;
  return text;
}

std::string canonical_line(const EntryLine& line, const Conditions& defaults) {
  if (line.kind == EntryLine::Kind::job_note) return "note " + line.words;
  std::string text = line.refdes + (line.pin.empty() ? "" : "." + line.pin);
  if (line.kind == EntryLine::Kind::note) return text + " note " + line.words;
  if (line.kind == EntryLine::Kind::action) return text + " " + line.what + (line.words.empty() ? "" : " " + line.words);
  for (const EntryValue& value : line.values)
    text += " " + (value.qualifier == Qualifier::overload ? std::string("OL") : std::string(qualifier_sign(value.qualifier)) + print_si_number(value.number, line.quantity));
  text += " " + std::string(quantity_name(line.quantity));
  if (line.conditions.power != defaults.power) text += " " + std::string(power_name(line.conditions.power));
  if (line.conditions.red_lead != defaults.red_lead) text += " red " + line.conditions.red_lead;
  if (line.conditions.black_lead != defaults.black_lead) text += " black " + line.conditions.black_lead;
  if (line.conditions.instrument != defaults.instrument) text += " with " + line.conditions.instrument;
  if (line.conditions.ambient != defaults.ambient) {
    const std::string& ambient = line.conditions.ambient;
    text += (ambient == "cold" || ambient == "warm" || ambient == "hot" ? " " : " ambient ") + ambient;
  }
  if (line.every_s > 0) text += " every " + si_number_from(line.every_s, SiUnit::celsius, 12).digits + "s";
  if (line.said) text += " " + std::string(trend_name(*line.said));
  if (!line.words.empty()) text += " " + line.words;
  return text;
}

}  // namespace boardlore
