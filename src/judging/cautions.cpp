#include "judging/cautions.h"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cstdio>

#include "judging/alloys.h"
#include "judging/designator.h"
#include "judging/moisture.h"

namespace boardlore {
namespace {

// IEC 62368-1, ES1: 60 V DC (from memory). Above it a charged capacitor can hurt.
constexpr double touch_limit_v = 60;
// A capacitor this large is called bulk where its voltage is not said (common practice, no source).
constexpr double bulk_farad = 100e-6;
// "Near": within arm's slip of a probe (common practice, no source).
constexpr double near_mm = 50;
// At 25 V and 1 mF a screwdriver across the leads welds; below, a spark (common practice, no source).
constexpr double spark_joule = 0.1;

std::string lower(std::string_view text) {
  std::string result(text);
  for (char& c : result) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return result;
}

bool speaks_of_mains(std::string_view text) {
  const std::string words = lower(text);
  for (const std::string_view word : {"mains", "230v", "230 v", "120v ac", "120 v ac", "240v", "240 v", "line voltage", "live side", "primary side"})
    if (words.find(word) != std::string::npos) return true;
  return false;
}

std::string name_of(const Mark& mark) { return mark.refdes.empty() ? mark.text.empty() ? "a mark" : mark.text : mark.refdes; }

template <class... Args>
std::string printed(const char* format, Args... args) {
  char text[400];
  std::snprintf(text, sizeof text, format, args...);
  return text;
}

void add(std::vector<Caution>& cautions, const char* key, std::string text, const char* source) {
  cautions.push_back({key, std::move(text), source});
}

void stored_charge(std::vector<Caution>& cautions, const Layer& layer, const Mark& part) {
  layer.marks.each([&](const MarkPtr& mark) {
    if (mark->kind != MarkKind::part || part_class(mark->refdes) != PartClass::capacitor) return;
    const CapacitorRating rating = rating_of(mark->value);
    const double away_mm = distance_mm(mark->at, part.at);
    const bool high = rating.volt && *rating.volt > touch_limit_v && rating.farad.value_or(1e-6) >= 0.1e-6;
    const bool sparks = rating.farad && rating.volt && 0.5 * *rating.farad * *rating.volt * *rating.volt >= spark_joule;
    const bool bulk = ((rating.farad && *rating.farad >= bulk_farad) || sparks) && away_mm <= near_mm;
    if (!high && !bulk) return;
    std::string text = name_of(*mark) + " (" + mark->value + ", " + printed("%.0f mm away", away_mm) + ") can hold a charge: ";
    if (rating.farad && rating.volt) text += printed("up to %.2g J; ", 0.5 * *rating.farad * *rating.volt * *rating.volt);
    text += high ? "discharge it through a resistor and measure that it is dead before touching or heating anything on its rails"
                 : "measure it before working near it, and let it down through a resistor";
    add(cautions, high ? "high-voltage-capacitor" : "bulk-capacitor", text,
        high ? "60 V DC: IEC 62368-1 (from memory)" : "common practice, no source");
  });
}

void cells(std::vector<Caution>& cautions, const Layer& layer, const Mark& part) {
  layer.marks.each([&](const MarkPtr& mark) {
    if (mark->kind != MarkKind::part || mark->id == part.id || part_class(mark->refdes) != PartClass::battery) return;
    add(cautions, "coin-cell",
        name_of(*mark) + printed(" (%.0f mm away): a cell on the board; take it off before hot air or a preheater. Do not heat, short, charge or solder on a lithium cell",
                                 distance_mm(mark->at, part.at)),
        "common practice, no source; lithium coin cells are not rechargeable: maker's sheet");
  });
  if (part_class(part.refdes) == PartClass::battery)
    add(cautions, "coin-cell", name_of(part) + " is a cell: do not heat, short, charge or solder on a lithium cell; swallowing one is an emergency",
        "common practice, no source");
}

void mains(std::vector<Caution>& cautions, const Layer& layer) {
  std::string where;
  layer.marks.each([&](const MarkPtr& mark) {
    if (!where.empty()) return;
    bool found = speaks_of_mains(mark->text) || speaks_of_mains(mark->value) || speaks_of_mains(mark->reason);
    for (const auto& [pin, net] : mark->nets) found = found || speaks_of_mains(net);
    for (const Note& note : mark->notes) found = found || speaks_of_mains(note.text);
    if (found) where = name_of(*mark);
  });
  if (!where.empty())
    add(cautions, "mains", "this board has a mains section (" + where + "): unplug it, wait, measure that it is dead; no wrist strap while anything is energised; "
        "work on live mains is for licensed people with an isolating transformer", "common practice, no source");
}

void moisture(std::vector<Caution>& cautions, const Job* job, const Mark& part, Timestamp now) {
  if (part.moisture_level.empty()) return;
  std::optional<Timestamp> opened;
  if (job)
    for (const Action& action : job->actions)
      if (action.mark == part.id && action.bag_opened_at) opened = action.bag_opened_at;
  const FloorVerdict verdict = floor_verdict(part.moisture_level, opened, now);
  if (verdict.state != FloorState::not_sensitive) add(cautions, "moisture", name_of(part) + ": " + verdict.words, "IPC/JEDEC J-STD-020, J-STD-033");
}

bool is_semiconductor(const Mark& part) {
  const PartClass c = part_class(part.refdes);
  return c == PartClass::circuit || c == PartClass::transistor || c == PartClass::diode || c == PartClass::crystal;
}

}  // namespace

CapacitorRating rating_of(std::string_view value) {
  CapacitorRating rating;
  std::string text(value);
  // Both micro signs (U+00B5, U+03BC) read as u; a decimal comma as a point.
  for (const std::string_view micro : {"\xC2\xB5", "\xCE\xBC"})
    for (std::size_t at; (at = text.find(micro)) != std::string::npos;) text.replace(at, 2, "u");
  std::replace(text.begin(), text.end(), ',', '.');
  for (std::size_t at = 0; at < text.size();) {
    double number = 0;
    const bool starts = std::isdigit(static_cast<unsigned char>(text[at])) && (at == 0 || !std::isalnum(static_cast<unsigned char>(text[at - 1])));
    const auto [end, error] = std::from_chars(text.data() + at, text.data() + text.size(), number, std::chars_format::fixed);
    if (!starts || error != std::errc{}) {
      ++at;
      continue;
    }
    at = static_cast<std::size_t>(end - text.data());
    std::size_t unit = at;
    while (unit < text.size() && text[unit] == ' ') ++unit;
    const char first = unit < text.size() ? text[unit] : '\0', second = unit + 1 < text.size() ? text[unit + 1] : '\0';
    const double scale = first == 'p' ? 1e-12 : first == 'n' ? 1e-9 : first == 'u' ? 1e-6 : first == 'm' ? 1e-3 : 0;
    const bool farad_unit = scale > 0 && (second == 'F' || !std::isalpha(static_cast<unsigned char>(second)));
    if (farad_unit && !rating.farad) rating.farad = number * scale;
    if (first == 'F' && !rating.farad) rating.farad = number;
    if (first == 'V' && !rating.volt) rating.volt = number;
    if (first == 'k' && second == 'V' && !rating.volt) rating.volt = number * 1000;
  }
  return rating;
}

std::vector<Caution> cautions_for_part(const Layer& layer, const Job* job, const Mark& part, Timestamp now) {
  std::vector<Caution> cautions;
  mains(cautions, layer);
  stored_charge(cautions, layer, part);
  cells(cautions, layer, part);
  moisture(cautions, job, part, now);
  if (is_semiconductor(part))
    add(cautions, "static", name_of(part) + ": static can ruin it unseen; mat and wrist strap, the board unpowered", "ANSI/ESD S20.20, IEC 61340-5-1: parts from 100 V HBM");
  add(cautions, "fumes", "extract flux fumes at the source; wash hands after leaded solder; no isopropanol near a hot tool until it has dried",
      "common practice, no source; isopropanol flash point about 12 °C: safety data sheets");
  add(cautions, "lift-when-liquid", "lift only when every joint is liquid; never pry", "common practice, no source");
  return cautions;
}

std::vector<Caution> cautions_for_process(const Process& process, const Mark& part, const ClearanceReport* clearance) {
  std::vector<Caution> cautions;
  const std::string name = name_of(part);
  if (part.package_class_c && process.air_c && *process.air_c > *part.package_class_c)
    add(cautions, "package-class",
        printed("air set to %.0f °C is over the %.0f °C that the body of ", *process.air_c, *part.package_class_c) + name +
            " is rated for: measure at the body and keep the time short",
        "IPC/JEDEC J-STD-020");
  if (part.package_class_c && process.preheat_c && *process.preheat_c > *part.package_class_c)
    add(cautions, "package-class", printed("preheat of %.0f °C is over the class of ", *process.preheat_c) + name, "IPC/JEDEC J-STD-020");
  if (!process.alloy.empty()) {
    const Alloy* alloy = find_alloy(process.alloy);
    if (!alloy) {
      add(cautions, "alloy", "alloy \"" + process.alloy + "\" is not in the table: look up its liquidus", "");
    } else {
      for (const auto& [what, set_c] : {std::pair{"iron", process.iron_c}, std::pair{"air", process.air_c}})
        if (set_c && *set_c <= alloy->liquidus_c)
          add(cautions, "alloy",
              std::string(what) + printed(" set to %.0f °C cannot melt ", *set_c) + std::string(alloy->name) + printed(", liquid at %.0f °C", alloy->liquidus_c),
              std::string(alloy->source).c_str());
      if (alloy->composition.find("Bi") != std::string_view::npos)
        add(cautions, "bismuth", "bismuth left in a tin-lead joint can melt at 96 °C: clean it off completely", "alloy table; the advice is common practice, no source");
    }
  }
  if (clearance)
    for (const Clearance& c : clearance->found) {
      const double plan_c = std::max(process.air_c.value_or(0), process.preheat_c.value_or(0));
      if (c.heated && c.max_temperature_c && plan_c > *c.max_temperature_c)
        add(cautions, "keepout-temperature", c.label + printed(" stands %.0f °C at most and lies in the heated circle; the plan is %.0f °C", *c.max_temperature_c, plan_c), "");
    }
  return cautions;
}

std::vector<Caution> cautions_for_job(const Layer& layer, const Job& job, Timestamp now) {
  std::vector<Caution> all;
  const auto keep = [&](const std::vector<Caution>& some) {
    for (const Caution& caution : some)
      if (std::find(all.begin(), all.end(), caution) == all.end()) all.push_back(caution);
  };
  for (const Action& action : job.actions)
    if (const MarkPtr part = layer.marks.find(action.mark)) {
      keep(cautions_for_part(layer, &job, *part, now));
      keep(cautions_for_process(action.process, *part, nullptr));
    }
  return all;
}

}  // namespace boardlore
