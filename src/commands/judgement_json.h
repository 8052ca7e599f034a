// A judgement and a reading as every reading command prints them with --json.
#pragma once

#include "judging/judge.h"
#include "storage/json_out.h"

namespace boardlore {

inline JsonOut json_judgement(const Judgement& judgement) {
  JsonOut basis = JsonOut::object();
  for (const Basis& one : judgement.basis) basis[one.name] = one.value;
  JsonOut json{{"verdict", verdict_name(judgement.verdict)}, {"out_of_limits", is_out_of_limits(judgement.verdict)}, {"reason", judgement.reason}, {"basis", basis}};
  if (!judgement.before_after.empty()) json["before_after"] = judgement.before_after;
  if (!judgement.remarks.empty()) json["remarks"] = judgement.remarks;
  if (!judgement.cautions.empty()) json["cautions"] = judgement.cautions;
  return json;
}

inline JsonOut json_reading(const Reading& reading) {
  JsonOut json{{"refdes", reading.refdes}};
  if (!reading.pin.empty()) json["pin"] = reading.pin;
  json["quantity"] = quantity_name(reading.quantity);
  json["printed"] = print_reading(reading);
  if (reading.qualifier == Qualifier::overload) json["value"] = nullptr;
  else json["value"] = reading.value;
  json["unit"] = ucum_code(reading.quantity);
  json["typed"] = reading.typed;
  json["power"] = reading.conditions.power == Power::on ? "on" : "off";
  for (const auto& [name, text] : {std::pair("red_lead", &reading.conditions.red_lead), std::pair("black_lead", &reading.conditions.black_lead),
                                   std::pair("instrument", &reading.conditions.instrument), std::pair("ambient", &reading.conditions.ambient)})
    if (!text->empty()) json[name] = *text;
  if (reading.said) json["said"] = *reading.said == SaidTrend::rising ? "rising" : *reading.said == SaidTrend::falling ? "falling" : "steady";
  json["taken_at"] = to_rfc3339(reading.taken_at);
  if (!reading.by.empty()) json["by"] = reading.by;
  if (!reading.words.empty()) json["words"] = reading.words;
  return json;
}

}  // namespace boardlore
