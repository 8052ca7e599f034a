#include "bench/part_sheet.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdio>

#include "bench/widgets.h"
#include "editing/mark_rules.h"
#include "judging/cautions.h"
#include "judging/moisture.h"

namespace boardlore {
namespace {

std::string number_words(const std::optional<double>& value) {
  char words[32] = "";
  if (value) std::snprintf(words, sizeof words, "%.6g", *value);
  return words;
}

// Empty: not said. False: typed, and not a number above 0.
bool take_number(std::string words, std::optional<double>& into) {
  if (words.empty()) return into.reset(), true;
  std::replace(words.begin(), words.end(), ',', '.');
  char* end = nullptr;
  const double value = std::strtod(words.c_str(), &end);
  if (end == words.c_str() || *end != 0 || !std::isfinite(value) || value <= 0 || value > 10000) return false;
  into = value;
  return true;
}

void take_from(PartSheet& sheet, const Mark& mark) {
  sheet.on_part = mark.orientation.on_part, sheet.on_board = mark.orientation.on_board;
  sheet.moisture = mark.moisture_level;
  sheet.package_class = number_words(mark.package_class_c);
  sheet.wanted = wanted_words(mark.wanted);
}

void put(const Scene& scene, Mark changed) {
  changed.changed_at = scene.now();
  scene.intents.commit("change " + spoken_name(changed), {ChangeMark{std::move(changed), ""}});
}

void draw_polarity(const Scene& scene, const Mark& mark) {
  const Theme& t = scene.theme;
  quiet(scene, "Polarity: the pin-1 end is");
  bool first = true;
  for (const char* end : {"", "cathode", "positive", "negative"}) {
    if (!first) ImGui::SameLine(0, t.grid(1));
    first = false;
    const bool on = mark.polarity == end;
    ImGui::PushStyleColor(ImGuiCol_Button, on ? t.strong : t.raised);
    ImGui::PushStyleColor(ImGuiCol_ButtonHovered, on ? t.strong : t.hover);
    ImGui::PushStyleColor(ImGuiCol_Text, on ? t.on_strong : t.text);
    ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, ImVec2(t.grid(1.75F), t.grid(1)));
    ImGui::PushFont(scene.fonts.small);  // four in a row of a narrow card
    const std::string name = std::string("polarity-") + (*end ? end : "none");
    const bool clicked = ImGui::Button(((*end ? end : "none") + ("##" + name)).c_str());
    ImGui::PopFont();
    ImGui::PopStyleVar();
    ImGui::PopStyleColor(3);
    scene.anchors.note(name);
    if (!clicked || on) continue;
    Mark changed = mark;
    changed.polarity = end;
    put(scene, std::move(changed));
  }
}

void draw_process_cautions(const Scene& scene, const Process& process, const Mark& mark) {
  for (const Caution& caution : cautions_for_process(process, mark, nullptr)) {
    ImGui::PushTextWrapPos(0);
    text(scene, scene.fonts.small, scene.theme.doubtful, std::string(symbol::warning) + "  " + caution.text);
    ImGui::PopTextWrapPos();
    scene.anchors.note("process-caution-" + caution.key);
  }
}

}  // namespace

std::optional<std::vector<WantedReading>> wanted_typed(const std::string& words) {
  std::vector<WantedReading> wanted;
  for (std::size_t at = 0; at <= words.size();) {
    const std::size_t end = std::min(words.find(',', at), words.size());
    std::string word = words.substr(at, end - at);
    std::erase(word, ' ');
    at = end + 1;
    if (word.empty()) continue;
    const std::size_t colon = word.find(':');
    const auto quantity = parse_quantity_name(colon == std::string::npos ? word : word.substr(colon + 1));
    if (!quantity) return std::nullopt;
    wanted.push_back({colon == std::string::npos ? "" : word.substr(0, colon), *quantity});
  }
  return wanted;
}

std::string wanted_words(const std::vector<WantedReading>& wanted) {
  std::string words;
  for (const WantedReading& one : wanted) words += (words.empty() ? "" : ", ") + (one.pin.empty() ? "" : one.pin + ":") + std::string(quantity_name(one.quantity));
  return words;
}

void draw_part_sheet(const Scene& scene, const Mark& mark, PartSheet& sheet) {
  const MarkPtr now = scene.layer().marks.find(mark.id);
  if (sheet.of != now) sheet.of = now, take_from(sheet, mark);
  std::string known;
  for (const std::string& word : {mark.polarity, mark.orientation.on_part, mark.orientation.on_board}) known += word.empty() ? "" : (known.empty() ? "" : ", ") + word;
  if (!known.empty()) quiet_wrapped(scene, "Way round: " + known);
  if (button(scene, "part-sheet", "Way round, moisture, readings …")) sheet.open = !sheet.open;
  if (!sheet.open) return;
  draw_polarity(scene, mark);
  const float half = (ImGui::GetContentRegionAvail().x - scene.theme.grid(2)) / 2;
  Mark changed = mark;
  bool done = captioned_field(scene, "on-part", "Pin 1 on the part", "dot, notch, bevel, bar", sheet.on_part, half);
  ImGui::SameLine(0, scene.theme.grid(2));
  done |= captioned_field(scene, "on-board", "and on the board", "triangle, numeral, square pad", sheet.on_board, half);
  done |= captioned_field(scene, "moisture-level", "Moisture level", "1, 2, 2a ... 6", sheet.moisture, half);
  ImGui::SameLine(0, scene.theme.grid(2));
  done |= captioned_field(scene, "package-class", "Body at most, °C", "245, 250, 260", sheet.package_class, half);
  done |= captioned_field(scene, "wanted", "Readings wanted before lifting", "7:diode, resistance", sheet.wanted);
  if (!done) return;
  changed.orientation.on_part = sheet.on_part, changed.orientation.on_board = sheet.on_board;
  if (!sheet.moisture.empty() && sheet.moisture != mark.moisture_level && !find_floor_life(sheet.moisture)) {
    std::string levels;
    for (const FloorLife& life : floor_lives()) levels += (levels.empty() ? "" : &life == &floor_lives().back() ? " or " : ", ") + std::string(life.level);
    return scene.faults.refuse("moisture-level", sheet.moisture, "Expected " + levels + ", as on the bag's label.", mark.moisture_level);
  }
  changed.moisture_level = sheet.moisture;
  const auto wanted = wanted_typed(sheet.wanted);
  if (!take_number(sheet.package_class, changed.package_class_c))
    return scene.faults.refuse("package-class", sheet.package_class, "Expected a temperature in °C, as 260.", number_words(mark.package_class_c));
  if (!wanted) return scene.faults.refuse("wanted", sheet.wanted, "Expected readings as 7:diode or resistance, with commas.", wanted_words(mark.wanted));
  changed.wanted = *wanted;
  if (changed != mark) put(scene, std::move(changed));
}

void draw_process(const Scene& scene, const Mark& mark, const Action& action, PartSheet& sheet) {
  const Process& p = action.process;
  if (!(sheet.process_of == action)) {
    sheet.process_of = action;
    sheet.iron = number_words(p.iron_c), sheet.air = number_words(p.air_c), sheet.preheat = number_words(p.preheat_c), sheet.nozzle = number_words(p.nozzle_mm);
    sheet.time = number_words(p.time_s), sheet.air_setting = p.air_setting, sheet.alloy = p.alloy, sheet.flux = p.flux;
  }
  if (button(scene, "process", "How it is done …")) sheet.process_open = !sheet.process_open;
  if (sheet.process_open) {
    const float third = (ImGui::GetContentRegionAvail().x - 2 * scene.theme.grid(2)) / 3;
    const auto gap = [&] { ImGui::SameLine(0, scene.theme.grid(2)); };
    bool done = captioned_field(scene, "process-iron", "Iron, °C", "", sheet.iron, third);
    gap();
    done |= captioned_field(scene, "process-air", "Air, °C", "", sheet.air, third);
    gap();
    done |= captioned_field(scene, "process-air-setting", "Air flow", "", sheet.air_setting, third);
    done |= captioned_field(scene, "process-nozzle", "Nozzle, mm", "", sheet.nozzle, third);
    gap();
    done |= captioned_field(scene, "process-preheat", "Preheat, °C", "", sheet.preheat, third);
    gap();
    done |= captioned_field(scene, "process-time", "Under heat, s", "", sheet.time, third);
    done |= captioned_field(scene, "process-alloy", "Alloy", "as SAC305", sheet.alloy, third);
    gap();
    done |= captioned_field(scene, "process-flux", "Flux", "", sheet.flux, third);
    if (!action.bag_opened_at) {
      if (button(scene, "bag-opened", "The dry bag is opened now")) {
        Action put_action = action;
        put_action.bag_opened_at = scene.now();
        scene.intents.commit("dry bag opened", {PutAction{std::move(put_action)}});
      }
    } else {
      quiet(scene, "dry bag opened " + to_rfc3339(*action.bag_opened_at).substr(0, 16));
    }
    if (done) {
      Action put_action = action;
      Process& to = put_action.process;
      to.air_setting = sheet.air_setting, to.alloy = sheet.alloy, to.flux = sheet.flux;
      bool understood = true;
      const auto take = [&](const char* name, const char* example, const std::string& words, std::optional<double>& into) {
        if (take_number(words, into)) return;
        scene.faults.refuse(name, words, std::string("Expected a number above 0, as ") + example + ".", number_words(into));
        understood = false;
      };
      take("process-iron", "350", sheet.iron, to.iron_c), take("process-air", "300", sheet.air, to.air_c), take("process-preheat", "150", sheet.preheat, to.preheat_c);
      take("process-nozzle", "8.5", sheet.nozzle, to.nozzle_mm), take("process-time", "20", sheet.time, to.time_s);
      if (!understood) return draw_process_cautions(scene, p, mark);
      if (!(put_action == action)) scene.intents.commit("process of " + action.what, {PutAction{std::move(put_action)}});
    }
  }
  draw_process_cautions(scene, p, mark);
}

}  // namespace boardlore
