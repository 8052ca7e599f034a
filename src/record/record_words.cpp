#include "record/record_words.h"

#include <cstdio>
#include <cstdlib>

#include "judging/judge.h"
#include "record/warranty.h"

namespace boardlore {
namespace {

std::string spoken_minutes(Timestamp time) {
  constexpr std::int64_t day_ms = 86400000;
  const std::int64_t in_day = ((time.ms % day_ms) + day_ms) % day_ms;
  char text[16];
  std::snprintf(text, sizeof text, " %02d:%02d", static_cast<int>(in_day / 3600000),
                static_cast<int>(in_day / 60000 % 60));
  return to_text(day_of(time)) + text;
}

// "+01:00" -> 60; nullopt: not of the form.
std::optional<int> offset_minutes(const std::string& offset) {
  if (offset.size() != 6 || (offset[0] != '+' && offset[0] != '-') || offset[3] != ':') return std::nullopt;
  for (const std::size_t i : {1U, 2U, 4U, 5U})
    if (offset[i] < '0' || offset[i] > '9') return std::nullopt;
  const int minutes = (offset[1] - '0') * 600 + (offset[2] - '0') * 60 + (offset[4] - '0') * 10 + (offset[5] - '0');
  return offset[0] == '-' ? -minutes : minutes;
}

void append(std::string& list, const std::string& item) {
  if (item.empty()) return;
  if (!list.empty()) list += ", ";
  list += item;
}

std::string degrees(const char* what, std::optional<double> celsius) {
  if (!celsius) return "";
  char text[64];
  std::snprintf(text, sizeof text, "%s %.4g °C", what, *celsius);
  return text;
}

}  // namespace

std::string spoken_time(Timestamp time) { return spoken_minutes(time) + " UTC"; }

std::string spoken_capture_time(const Photo& photo) {
  if (!photo.captured_at) return photo.added_at ? "not known (added " + spoken_time(*photo.added_at) + ")" : "not known";
  if (const auto minutes = offset_minutes(photo.captured_offset))
    return spoken_minutes(Timestamp{photo.captured_at->ms + *minutes * 60000LL}) + " " + photo.captured_offset;
  return spoken_time(*photo.captured_at);
}

std::string spoken_reading(const Reading& reading) {
  std::string text = reading.qualifier == Qualifier::overload ? "over range" : print_reading(reading);
  if (reading.qualifier == Qualifier::overload && reading.value > 0)
    text += " (above " + print_engineering(reading.value, reading.quantity) + ")";
  if (reading.quantity == Quantity::diode && reading.qualifier != Qualifier::overload) text += " diode";
  if (reading.said)
    text += *reading.said == SaidTrend::rising ? ", rising" : *reading.said == SaidTrend::falling ? ", falling" : ", steady";
  return text;
}

std::string spoken_conditions(const Reading& reading) {
  const Conditions& c = reading.conditions;
  std::string text = c.power == Power::on ? "power on" : "power off";
  if (!c.red_lead.empty()) append(text, "red on " + c.red_lead);
  if (!c.black_lead.empty()) append(text, "black on " + c.black_lead);
  append(text, c.instrument);
  append(text, c.ambient);
  return text;
}

std::string spoken_process(const Process& process) {
  std::string text = degrees("iron", process.iron_c);
  append(text, degrees("hot air", process.air_c));
  if (!process.air_setting.empty()) append(text, "air setting " + process.air_setting);
  append(text, degrees("preheat", process.preheat_c));
  char number[64];
  if (process.nozzle_mm) {
    std::snprintf(number, sizeof number, "nozzle %.4g mm", *process.nozzle_mm);
    append(text, number);
  }
  if (!process.alloy.empty()) append(text, "alloy " + process.alloy);
  if (!process.flux.empty()) append(text, "flux " + process.flux);
  if (process.time_s) {
    std::snprintf(number, sizeof number, "%.4g s", *process.time_s);
    append(text, number);
  }
  return text;
}

std::string spoken_place(const std::string& refdes, const std::string& pin) {
  const std::string name = refdes.empty() ? "(no designator)" : refdes;
  return pin.empty() ? name : name + "." + pin;
}

std::string spoken_outcome(const std::string& outcome) {
  if (outcome == "fixed") return "Fixed";
  if (outcome == "not-fixed") return "Not fixed";
  if (outcome == "no-fault") return "No fault found";
  return outcome;
}

std::string spoken_stage(std::optional<PhotoStage> stage) {
  if (!stage) return "reference";
  switch (*stage) {
    case PhotoStage::intake: return "intake";
    case PhotoStage::before: return "before";
    case PhotoStage::during: return "during";
    case PhotoStage::after: return "after";
  }
  return "";
}

std::string spoken_duration(std::int64_t ms) {
  const std::int64_t seconds = ms / 1000;
  if (seconds < 60) return std::to_string(seconds) + " s";
  if (seconds < 3600) return std::to_string(seconds / 60) + " min " + std::to_string(seconds % 60) + " s";
  return std::to_string(seconds / 3600) + " h " + std::to_string(seconds / 60 % 60) + " min";
}

}  // namespace boardlore
