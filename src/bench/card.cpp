#include "bench/card.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "bench/compare_view.h"
#include "bench/net_view.h"
#include "bench/learn_question.h"
#include "bench/photo_view.h"
#include "bench/pin_drawing.h"
#include "bench/photo_sheet.h"
#include "bench/stage_line.h"
#include "bench/usual_faults_view.h"
#include "bench/widgets.h"
#include "editing/mark_rules.h"
#include "judging/designator.h"

namespace boardlore {
namespace {

std::optional<double> number_in(std::string words) {
  std::replace(words.begin(), words.end(), ',', '.');
  char* end = nullptr;
  const double value = std::strtod(words.c_str(), &end);
  if (end == words.c_str() || !std::isfinite(value)) return std::nullopt;
  return value;
}

std::string number_words(std::optional<double> value) {
  if (!value) return {};
  char words[32];
  std::snprintf(words, sizeof words, "%.6g", *value);
  return words;
}

void take_from(CardState& card, const MarkPtr& mark) {
  if (card.mark == mark) return;
  const bool other = !card.mark || card.mark->id != mark->id;
  card.mark = mark;
  card.refdes = mark->refdes;
  card.value = mark->value;
  card.words = mark->text;
  card.accept = words_from_list(mark->accept);
  card.refuse = words_from_list(mark->refuse);
  card.advice = mark->advice;
  card.temperature = number_words(mark->max_temperature_c);
  if (other) card.note.clear(), card.values = PartValues{};
  card.values.of = Id{};  // the limits' fields are taken anew
}

void change(const Scene& scene, const Mark& changed) {
  Mark mark = changed;
  mark.changed_at = scene.now();
  scene.intents.push(intent::Commit{"", {ChangeMark{std::move(mark), ""}}});
}

// Choices in a row, one of them on; clicking sets it.
bool choices(const Scene& scene, const char* group, const std::vector<std::pair<std::string, std::string>>& options, std::string& chosen) {
  bool changed = false;
  const float right = ImGui::GetCursorScreenPos().x + ImGui::GetContentRegionAvail().x;
  for (std::size_t i = 0; i < options.size(); ++i) {
    const auto& [value, words] = options[i];
    const float wide = scene.fonts.small->CalcTextSizeA(scene.fonts.small->FontSize, FLT_MAX, 0, words.c_str()).x + scene.theme.grid(4);
    if (i > 0) {
      ImGui::SameLine(0, scene.theme.grid(1));
      if (ImGui::GetCursorScreenPos().x + wide > right) ImGui::NewLine();
    }
    const bool on = chosen == value;
    ImGui::PushStyleColor(ImGuiCol_Border, on ? scene.theme.text : scene.theme.line);
    ImGui::PushStyleColor(ImGuiCol_Text, on ? scene.theme.text : scene.theme.quiet);
    ImGui::PushStyleVar(ImGuiStyleVar_FrameBorderSize, scene.theme.line_px(on ? 2 : 1));
    ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, ImVec2(scene.theme.grid(2), scene.theme.grid(1)));
    ImGui::PushFont(scene.fonts.small);
    const std::string name = std::string(group) + "-" + value;
    if (ImGui::Button((words + "##" + name).c_str()) && !on) chosen = value, changed = true;
    ImGui::PopFont();
    ImGui::PopStyleVar(2);
    ImGui::PopStyleColor(2);
    scene.anchors.note(name);
  }
  return changed;
}

void draw_mark_head(const Scene& scene, BenchState& state, CardState& card) {
  const Theme& t = scene.theme;
  const Mark& mark = *card.mark;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const ImVec2 at = ImGui::GetCursorScreenPos();
  draw_kind_shape(list, t, mark.kind, ImVec2(at.x + t.grid(2.5F), at.y + t.grid(4.5F)), t.grid(5));
  ImGui::SetCursorScreenPos(ImVec2(at.x + t.grid(7.5F), at.y));
  const bool named = mark.kind == MarkKind::part || mark.kind == MarkKind::probe;
  if (std::exchange(state.focus_name, false)) ImGui::SetKeyboardFocusHere();
  ImGui::PushFont(scene.fonts.heading);
  if (named) {
    if (field(scene, "refdes", mark.kind == MarkKind::part ? "Designator" : "Name", card.refdes) && card.refdes != mark.refdes) {
      Mark changed = mark;
      changed.refdes = card.refdes;
      std::transform(changed.refdes.begin(), changed.refdes.end(), changed.refdes.begin(), [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
      if (!changed.refdes.empty() && !is_designator(changed.refdes)) {
        scene.faults.refuse("refdes", card.refdes, "Expected letters, then a number, as C14.", mark.refdes);
      } else {
        if (mark.kind == MarkKind::part) state.last_refdes = changed.refdes;
        change(scene, changed);
      }
    }
  } else {
    if (field(scene, "words", mark.kind == MarkKind::note ? "What is to be noted" : "Caption", card.words) && card.words != mark.text) {
      Mark changed = mark;
      changed.text = card.words;
      change(scene, changed);
    }
  }
  ImGui::PopFont();
  char place[96];
  std::snprintf(place, sizeof place, "%s   %.2f, %.2f mm   %.4g°", std::string(side_name(mark.side)).c_str(), mark.at.x_mm, mark.at.y_mm, mark.rotation_deg);
  quiet(scene, kind_words(mark.kind) + ", " + place);
  if (scene.derived.is_duplicate(mark.id))
    text(scene, scene.fonts.small, t.bad, std::string(symbol::warning) + "  " + mark.refdes + " is on this board twice");
}

void draw_which_way_round(const Scene& scene, BenchState& state, const Mark& mark) {
  const Theme& t = scene.theme;
  draw_pins(scene, state, mark, ImGui::GetContentRegionAvail().x, t.grid(32));
  if (!mark.pin1 && !mark.package && !has_no_way_round(mark)) {
    text(scene, scene.fonts.small, t.doubtful, std::string(symbol::warning) + "  Pin 1 is not marked: point at it and press 1");
  }
}

void draw_part(const Scene& scene, CardState& card) {
  const Mark& mark = *card.mark;
  const float half = (ImGui::GetContentRegionAvail().x - scene.theme.grid(2)) / 2;
  const PartClass part = part_class(mark.refdes);
  const char* example = part == PartClass::resistor ? "as 10k" : part == PartClass::capacitor ? "as 100n 16V" : part == PartClass::inductor ? "as 4.7u" : "as printed on it";
  if (captioned_field(scene, "value", "Value or marking", example, card.value, half) && card.value != mark.value) {
    Mark changed = mark;
    changed.value = card.value;
    change(scene, changed);
  }
  ImGui::SameLine();
  if (captioned_field(scene, "part-words", "Caption", "", card.words, half) && card.words != mark.text) {
    Mark changed = mark;
    changed.text = card.words;
    change(scene, changed);
  }
  draw_marking_meanings(scene, card.value);
  draw_part_sheet(scene, mark, card.sheet);
  draw_discharge(scene, mark, card.values);
  if (captioned_field(scene, "accept", "Spares accepted", "with commas", card.accept, half) && card.accept != words_from_list(mark.accept)) {
    Mark changed = mark;
    changed.accept = list_from_words(card.accept);
    change(scene, changed);
  }
  ImGui::SameLine();
  if (captioned_field(scene, "refuse", "Spares refused", "look-alikes", card.refuse, half) && card.refuse != words_from_list(mark.refuse)) {
    Mark changed = mark;
    changed.refuse = list_from_words(card.refuse);
    change(scene, changed);
  }
}

void draw_keepout(const Scene& scene, CardState& card) {
  const Mark& mark = *card.mark;
  quiet(scene, "Reason");
  std::string reason = mark.reason;
  if (choices(scene, "reason", {{"heat", "heat"}, {"knock", "knock"}, {"height", "height"}, {"solvent", "solvent"}, {"static", "static"}}, reason)) {
    Mark changed = mark;
    changed.reason = reason;
    change(scene, changed);
  }
  const float half = (ImGui::GetContentRegionAvail().x - scene.theme.grid(2)) / 2;
  if (captioned_field(scene, "limit-temperature", "At most, °C", "", card.temperature, half)) {
    Mark changed = mark;
    changed.max_temperature_c = number_in(card.temperature);
    if (!card.temperature.empty() && !changed.max_temperature_c)
      scene.faults.refuse("limit-temperature", card.temperature, "Expected a temperature in °C, as 85.", number_words(mark.max_temperature_c));
    else if (changed != mark)
      change(scene, changed);
  }
  ImGui::SameLine();
  if (captioned_field(scene, "advice", "What to do", "shield", card.advice, half) && card.advice != mark.advice) {
    Mark changed = mark;
    changed.advice = card.advice;
    change(scene, changed);
  }
}

// The limits as a band, known good units as ticks, the readings as dots from the first at the top to the last, which is
// large, at the bottom, so that a drift is seen as a slope; the ends of the axis in numbers.
void draw_limit_plot(const Scene& scene, const LimitPlot& plot, bool out) {
  if (!plot.has_band && plot.sample_ticks.empty() && plot.readings.size() < 2) return;
  const Theme& t = scene.theme;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float width = ImGui::GetContentRegionAvail().x, height = t.grid(8), middle = at.y + height / 2, pad = t.grid(1.5F);
  ImFont* font = scene.fonts.small;
  ImGui::Dummy(ImVec2(width, height + font->FontSize));
  scene.anchors.note("plot-" + std::string(quantity_name(plot.quantity)));
  const auto x = [&](double place) { return at.x + pad + static_cast<float>(std::clamp(place, 0.0, 1.0)) * (width - 2 * pad); };
  list.AddLine(ImVec2(x(0), middle), ImVec2(x(1), middle), t.line, t.line_px(2));
  if (plot.has_band) {
    const float top = at.y + t.grid(0.5F), bottom = at.y + height - t.grid(0.5F);
    list.AddRectFilled(ImVec2(x(plot.band_from), top), ImVec2(x(plot.band_to), bottom), t.hover, 2);
    if (plot.low) list.AddLine(ImVec2(x(plot.band_from), top), ImVec2(x(plot.band_from), bottom), t.quiet, t.line_px(2));
    if (plot.high) list.AddLine(ImVec2(x(plot.band_to), top), ImVec2(x(plot.band_to), bottom), t.quiet, t.line_px(2));
  }
  for (const double tick : plot.sample_ticks) list.AddLine(ImVec2(x(tick), middle - t.grid(1.5F)), ImVec2(x(tick), middle + t.grid(1.5F)), t.quiet, t.line_px(1));
  const std::size_t count = plot.readings.size();
  const float step = count > 1 ? std::min(t.grid(2), (height - t.grid(3)) / static_cast<float>(count - 1)) : 0;
  const auto dot_of = [&](std::size_t i) { return ImVec2(x(plot.readings[i].place), middle + step * (static_cast<float>(i) - static_cast<float>(count - 1) / 2)); };
  for (std::size_t i = 1; i < count; ++i) list.AddLine(dot_of(i - 1), dot_of(i), t.quiet, t.line_px(1));
  for (std::size_t i = 0; i < count; ++i) {
    const bool last = i + 1 == count;
    const ImVec2 dot = dot_of(i);
    const ImU32 ink = last ? out ? t.bad : t.text : t.quiet;
    if (plot.readings[i].off_axis)
      list.AddTriangleFilled(ImVec2(dot.x - t.grid(1), dot.y - t.grid(1)), ImVec2(dot.x + t.grid(1), dot.y), ImVec2(dot.x - t.grid(1), dot.y + t.grid(1)), ink);
    else
      list.AddCircleFilled(dot, last ? t.grid(1.25F) : t.grid(0.75F), ink);
    if (i == 0) scene.anchors.note("plot-first", dot, dot);
    if (last) scene.anchors.note("plot-last", dot, dot);
  }
  const std::string high = (plot.log_axis ? "log  " : "") + plot.axis_high_label;
  const float below = at.y + height;
  list.AddText(font, font->FontSize, ImVec2(x(0), below), t.quiet, plot.axis_low_label.c_str());
  list.AddText(font, font->FontSize, ImVec2(x(1) - font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, high.c_str()).x, below), t.quiet, high.c_str());
}

// How far the board's y is turned on the screen, clockwise from up.
std::optional<double> board_turn_rad(const PhotoMap& map, BoardPoint at, const Camera& camera) {
  const auto here = map.photo_from(at), up = map.photo_from({at.x_mm, at.y_mm + 1});
  if (!here || !up) return std::nullopt;
  const ScreenFromPhoto screen = screen_from_photo(camera, ImVec2(0, 0));
  const ScreenPoint a = screen(*here), b = screen(*up);
  return std::atan2(b.x - a.x, a.y - b.y);
}

// The view in the pane, by the board and not by the photo, so that it can be brought back on another photo.
std::optional<View> view_now(const Scene& scene, const BenchState& state) {
  const PaneState& pane = state.pane[state.pane_in_hand];
  const DeskPhoto* photo = scene.desk.find_photo(pane.photo);
  const PhotoMap* map = photo ? scene.derived.map_of(photo->photo) : nullptr;
  const auto centre = map ? map->board_from(pane.camera.centre) : std::nullopt;
  if (!centre || pane.camera.zoom <= 0) return std::nullopt;
  const auto turn = board_turn_rad(*map, *centre, pane.camera);
  if (!turn) return std::nullopt;
  View view;
  view.side = photo->photo.side;
  view.turn_deg = std::round(*turn * 1800 / 3.14159265358979) / 10 + 0.0;
  view.zoom = std::round(pane.camera.zoom * 1000) / 1000;
  view.centre = {std::round(centre->x_mm * 100) / 100, std::round(centre->y_mm * 100) / 100};
  if (view.zoom <= 0) return std::nullopt;
  return view;
}

void bring_back(const Scene& scene, BenchState& state, const View& view) {
  PaneState& pane = state.pane[state.pane_in_hand];
  const Id photo_id = photo_for_side(scene.desk, pane.photo, view.side);
  const DeskPhoto* photo = scene.desk.find_photo(photo_id);
  const PhotoMap* map = photo ? scene.derived.map_of(photo->photo) : nullptr;
  const auto centre = map ? map->photo_from(view.centre) : std::nullopt;
  if (!centre) return scene.intents.push(intent::Say{"No registered photo shows the " + std::string(side_name(view.side)) + " yet.", true});
  show_photo(scene, state, state.pane_in_hand, photo_id);
  Camera camera;
  camera.centre = *centre;
  camera.zoom = std::clamp(view.zoom, min_zoom, max_zoom);
  camera.turn_rad = view.turn_deg * 3.14159265358979 / 180 - board_turn_rad(*map, view.centre, camera).value_or(0);
  pane.camera = camera;
}

const Action* last_action_on(const Job& job, const Id& mark) {
  const Action* last = nullptr;
  for (const Action& action : job.actions)
    if (action.mark == mark) last = &action;
  return last;
}

void draw_history(const Scene& scene, BenchState& state, CardState& card) {
  const Theme& t = scene.theme;
  const Mark& mark = *card.mark;
  const bool limits = mark.kind == MarkKind::part || mark.kind == MarkKind::probe;
  if (const Job* job = scene.job()) {
    if (card.judged_job != scene.desk.snapshot.job || card.judged_layer != scene.desk.snapshot.layer || card.judged_mark != mark.id) {
      card.judged_job = scene.desk.snapshot.job, card.judged_layer = scene.desk.snapshot.layer, card.judged_mark = mark.id;
      card.points = card_points(scene.layer(), *job, mark, scene.now());
    }
    separator(scene);
    text(scene, scene.fonts.strong, t.text, "Readings");
    if (card.points.empty()) quiet_wrapped(scene, "None yet. Type one below, as: " + (mark.refdes.empty() ? std::string("C14") : mark.refdes) + " 10.5k");
    for (const CardPoint& point : card.points) {
      text(scene, scene.fonts.value, t.text, point.value.empty() ? "–" : point.value);
      ImGui::SameLine(t.grid(27));
      quiet(scene, shortened(scene.fonts.small, point.place, t.grid(30)));
      ImGui::SameLine(ImGui::GetWindowContentRegionMax().x - t.grid(9));
      quiet(scene, point.when);
      draw_limit_plot(scene, point.plot, point.out);
      ImGui::PushTextWrapPos(0);
      if (!point.value.empty()) text(scene, scene.fonts.small, point.out ? t.bad : point.within ? t.good : t.quiet, point.verdict + (point.reason.empty() ? "" : ": " + point.reason));
      ImGui::PopTextWrapPos();
    }
    if (state.stage == Stage::measure && limits) draw_limits(scene, mark, card.values);
    if (state.stage != Stage::rework) draw_step_rows(scene, state, mark, card.steps, card.before_lift);
    bool any = false;
    for (const Action& action : job->actions) {
      if (action.mark != mark.id) continue;
      if (!std::exchange(any, true)) {
        separator(scene);
        text(scene, scene.fonts.strong, t.text, "Rework");
      }
      ImGui::PushTextWrapPos(0);
      text(scene, scene.fonts.body, t.text, action.what + (action.words.empty() ? "" : ", " + action.words));
      ImGui::PopTextWrapPos();
      if (&action == last_action_on(*job, mark.id)) draw_process(scene, mark, action, card.sheet);
    }
  }
  if (limits && !(scene.job() && state.stage == Stage::measure)) draw_limits(scene, mark, card.values);
  separator(scene);
  text(scene, scene.fonts.strong, t.text, "Notes");
  for (const Note& note : mark.notes) {
    ImGui::PushTextWrapPos(0);
    text(scene, scene.fonts.body, t.text, (note.pin.empty() ? "" : "pin " + note.pin + ": ") + note.text);
    ImGui::PopTextWrapPos();
    if (note.view && button(scene, ("view-" + note.id.text).c_str(), "As it was seen")) bring_back(scene, state, *note.view);
  }
  if (field(scene, "add-note", "Add a note", card.note) && !card.note.empty()) {
    Mark changed = mark;
    Note note;
    note.id = scene.new_id();
    note.text = card.note;
    note.view = view_now(scene, state);
    note.by = scene.technician;
    note.at = scene.now();
    changed.notes.push_back(std::move(note));
    card.note.clear();
    scene.intents.push(intent::Commit{"note on " + spoken_name(mark), {ChangeMark{std::move(changed), ""}}});
  }
}

void draw_several(const Scene& scene, BenchState& state) {
  heading(scene, std::to_string(state.selected.size()) + " marks");
  quiet_wrapped(scene, "Drag or the arrow keys move them together, R turns each, Del deletes them. Ctrl and a click adds or takes one.");
}

void take_from_job(CardState& card, const std::shared_ptr<const Job>& job) {
  if (card.job == job) return;
  card.job = job;
  card.serial = job->unit.serial, card.owner = job->unit.owner, card.condition = job->unit.condition, card.reported = job->reported, card.symptom = job->symptom;
  card.conditions = job->defaults;
}

void take_from_layer(CardState& card, const std::shared_ptr<const Layer>& layer) {
  if (card.layer && card.layer->board == layer->board && card.layer->settings == layer->settings) return;
  card.layer = layer;
  const LayerSettings& set = layer->settings;
  card.short_below = print_engineering(set.short_below_ohm, Quantity::resistance);
  card.open_above = print_engineering(set.open_above_ohm, Quantity::resistance);
  card.charging_above = print_engineering(set.charging_above_ohm, Quantity::resistance);
  const Board& b = layer->board;
  card.maker = b.maker, card.model = b.model, card.revision = b.revision;
  card.width = number_words(b.width_mm), card.height = number_words(b.height_mm);
}

void draw_board_sheet(const Scene& scene, BenchState& state, CardState& card) {
  take_from_layer(card, scene.desk.snapshot.layer);
  const float half = (ImGui::GetContentRegionAvail().x - scene.theme.grid(2)) / 2;
  heading(scene, "The board");
  bool done = captioned_field(scene, "board-maker", "Maker", "", card.maker);
  done |= captioned_field(scene, "board-model", "Model", "", card.model, half);
  ImGui::SameLine();
  done |= captioned_field(scene, "board-revision", "Revision", "", card.revision, half);
  done |= captioned_field(scene, "board-width", "Width, mm", "", card.width, half);
  ImGui::SameLine();
  done |= captioned_field(scene, "board-height", "Height, mm", "", card.height, half);
  if (done) {
    Board board = scene.layer().board;
    board.maker = card.maker, board.model = card.model, board.revision = card.revision;
    board.width_mm = number_in(card.width), board.height_mm = number_in(card.height);
    for (const auto& [name, words, now, before] : {std::tuple{"board-width", &card.width, board.width_mm, scene.layer().board.width_mm},
                                                   std::tuple{"board-height", &card.height, board.height_mm, scene.layer().board.height_mm}})
      if (!words->empty() && (!now || !(*now > 0))) return scene.faults.refuse(name, *words, "Expected millimetres above 0, as 148.", number_words(before));
    if (board != scene.layer().board) scene.intents.commit("change the board", {SetBoard{std::move(board)}});
  }
  static_cast<void>(state);
  separator(scene);
  text(scene, scene.fonts.strong, scene.theme.text, "What counts on this board");
  done = captioned_field(scene, "short-below", "A short at or below", "1 Ω", card.short_below, half);
  ImGui::SameLine();
  done |= captioned_field(scene, "open-above", "Open at or above", "20 MΩ", card.open_above, half);
  done |= captioned_field(scene, "charging-above", "Rising above: a capacitor charging", "1 kΩ", card.charging_above, half);
  quiet_wrapped(scene, "1 Ω, 20 MΩ and 1 kΩ where nothing else is said: common practice, no source.");
  if (!done) return;
  LayerSettings settings = scene.layer().settings;
  const auto low = amount_typed(card.short_below, SiUnit::ohm), high = amount_typed(card.open_above, SiUnit::ohm), charging = amount_typed(card.charging_above, SiUnit::ohm);
  const auto refuse = [&](const char* name, const std::string& words, const std::string& expected, double held) {
    scene.faults.refuse(name, words, expected, print_engineering(held, Quantity::resistance));
  };
  if (!low || !(*low > 0)) return refuse("short-below", card.short_below, "Expected a resistance above 0, as 1.", settings.short_below_ohm);
  if (!high || !(*high > 0)) return refuse("open-above", card.open_above, "Expected a resistance above 0, as 20M.", settings.open_above_ohm);
  if (!charging || !(*charging > 0)) return refuse("charging-above", card.charging_above, "Expected a resistance above 0, as 1k.", settings.charging_above_ohm);
  if (!(*low < *high)) {
    if (*low != settings.short_below_ohm) return refuse("short-below", card.short_below, "Expected less than " + card.open_above + ", which counts as open.", settings.short_below_ohm);
    return refuse("open-above", card.open_above, "Expected more than " + card.short_below + ", which counts as a short.", settings.open_above_ohm);
  }
  settings.short_below_ohm = *low, settings.open_above_ohm = *high, settings.charging_above_ohm = *charging;
  if (!(settings == scene.layer().settings)) scene.intents.commit("what counts as short and open", {SetSettings{std::move(settings)}});
}

// How this job is measured, set once; a line that says otherwise wins.
void draw_conditions(const Scene& scene, CardState& card) {
  const Theme& t = scene.theme;
  text(scene, scene.fonts.strong, t.text, "Conditions");
  quiet_wrapped(scene, "Hold for every reading of this job that says nothing else.");
  std::string power = card.conditions.power == Power::on ? "on" : "off";
  bool done = choices(scene, "power", {{"off", "power off"}, {"on", "power on"}}, power);
  card.conditions.power = power == "on" ? Power::on : Power::off;
  if (card.conditions.power == Power::on) {
    ImGui::PushTextWrapPos(0);
    text(scene, scene.fonts.small, t.doubtful, std::string(symbol::warning) + "  Resistance and diode readings with power on are not valid and can harm the meter.");
    ImGui::PopTextWrapPos();
  }
  const float half = (ImGui::GetContentRegionAvail().x - t.grid(2)) / 2;
  done |= captioned_field(scene, "red-lead", "Red lead", "on the point", card.conditions.red_lead, half);
  ImGui::SameLine();
  done |= captioned_field(scene, "black-lead", "Black lead, reference", "as GND", card.conditions.black_lead, half);
  done |= captioned_field(scene, "instrument", "Instrument", "which meter", card.conditions.instrument, half);
  ImGui::SameLine();
  done |= captioned_field(scene, "ambient", "Surroundings", "22 °C, cold, ...", card.conditions.ambient, half);
  if (!done || card.conditions == scene.job()->defaults) return;
  Job job = *scene.job();
  job.defaults = card.conditions;
  scene.intents.commit("change the conditions", {ChangeJob{std::move(job), "change the conditions"}});
}

void draw_job_sheet(const Scene& scene, BenchState& state, CardState& card) {
  const Theme& t = scene.theme;
  take_from_job(card, scene.desk.snapshot.job);
  const StageRows& rows = scene.derived.stages(scene.desk);
  const StageRow& row = rows[static_cast<std::size_t>(state.stage)];
  heading(scene, row.name);
  const bool own_list = state.stage == Stage::hand_back;  // its sheet lists what is open itself
  // A tick is for what was done: where nothing was, nothing is praised.
  const bool begun = state.stage == Stage::measure ? !scene.job()->readings.empty() : state.stage == Stage::rework || state.stage == Stage::prove ? !scene.job()->actions.empty() : true;
  if (!own_list && row.points.empty() && !begun) quiet(scene, state.stage == Stage::measure ? "No reading yet." : "No part was worked on yet.");
  else if (!own_list && row.points.empty())
    text(scene, scene.fonts.small, t.good, std::string(symbol::check) + "  nothing open");
  for (std::size_t i = 0; !own_list && i < row.points.size() && i < 8; ++i) {
    ImGui::PushTextWrapPos(0);
    text(scene, scene.fonts.small, t.text, "○  " + row.points[i]);
    ImGui::PopTextWrapPos();
  }
  if (!own_list && row.points.size() > 8) quiet(scene, "and " + std::to_string(row.points.size() - 8) + " more");
  separator(scene);
  if (state.stage == Stage::intake) {
    bool done = captioned_field(scene, "job-reported", "What the owner reports", "does not start", card.reported);
    done |= captioned_field(scene, "job-serial", "Serial number", "", card.serial);
    done |= captioned_field(scene, "job-owner", "Owner", "", card.owner);
    done |= captioned_field(scene, "job-condition", "Condition", "scratches, corrosion, missing screws", card.condition);
    quiet_wrapped(scene, "Serial number and owner stay in the job; the exported layer never holds them.");
    if (done) {
      Job job = *scene.job();
      job.reported = card.reported, job.unit.serial = card.serial, job.unit.owner = card.owner, job.unit.condition = card.condition;
      if (job != *scene.job()) scene.intents.commit("change the intake", {ChangeJob{std::move(job), "change the intake"}});
    }
    separator(scene);
    draw_watch_rows(scene, state);
  } else if (state.stage == Stage::find) {
    draw_usual_faults(scene, state, card.symptom);
  } else if (state.stage == Stage::before_lifting || state.stage == Stage::rework) {
    quiet_wrapped(scene, "Choose a part to see which way round it sits and what lies beside it.");
    quiet_wrapped(scene, "Hot air, bulk capacitors, lithium cells, lead and flux fumes can hurt: wear what protects you, discharge first. "
                         "Local codes and licensed practice take precedence.");
  } else if (state.stage == Stage::prove) {
    draw_before_after(scene, state);
  } else if (state.stage == Stage::hand_back) {
    // After a good hand-back the question comes first; after one over open points, last.
    const bool doubtful = scene.job()->hand_back && !scene.job()->hand_back->reason.empty();
    if (!doubtful) draw_learn_question(scene, state);
    draw_hand_back_sheet(scene, card.hand_back);
    separator(scene);
    if (doubtful) draw_learn_question(scene, state);
    if (button(scene, "export-layer", std::string(symbol::out) + "  Export the layer")) scene.intents.push(intent::ExportLayer{});
    quiet_wrapped(scene, "What this job taught, for the next one: marks, limits and samples; nothing of the owner, the serial number or the place.");
  } else if (state.stage == Stage::measure) {
    draw_conditions(scene, card);
    separator(scene);
    quiet_wrapped(scene, "Choose a mark to see its readings and what they should be.");
  } else {
    quiet_wrapped(scene, "Choose a mark in the list or on the photo.");
  }
}

}  // namespace

std::vector<CardPoint> card_points(const Layer& layer, const Job& job, const Mark& mark, Timestamp now) {
  std::vector<CardPoint> points;
  for (const JudgedPoint& judged : judge_job(layer, job, now)) {
    if (judged.point.mark != mark.id) continue;
    CardPoint point;
    point.place = (judged.point.pin.empty() ? "" : "pin " + judged.point.pin + "  ") + std::string(quantity_name(judged.point.quantity));
    if (!judged.readings.empty()) {
      point.value = print_reading(judged.readings.back());
      point.when = to_rfc3339(judged.readings.back().taken_at).substr(11, 5);
      point.verdict = std::string(verdict_words(judged.judgement.verdict));
      point.reason = judged.judgement.reason;
      point.out = is_out_of_limits(judged.judgement.verdict);
      point.within = judged.judgement.verdict == Verdict::within_limits;
    }
    point.plot = limit_plot(mark, job.readings, judged.point.quantity, judged.point.pin, judged.point.power);
    points.push_back(std::move(point));
  }
  return points;
}

std::vector<std::string> list_from_words(const std::string& words) {
  std::vector<std::string> list;
  std::string word;
  for (const char c : words + ",") {
    if (c != ',') {
      word += c;
      continue;
    }
    const auto first = word.find_first_not_of(' '), last = word.find_last_not_of(' ');
    if (first != std::string::npos) list.push_back(word.substr(first, last - first + 1));
    word.clear();
  }
  return list;
}

std::string words_from_list(const std::vector<std::string>& list) {
  std::string words;
  for (const std::string& word : list) words += (words.empty() ? "" : ", ") + word;
  return words;
}

void draw_card(const Scene& scene, BenchState& state, CardState& card) {
  if (state.tool == Tool::package) draw_package_form(scene, state, card.package);
  if (state.selected.size() > 1) return draw_several(scene, state);
  const MarkPtr mark = scene.layer().marks.find(state.shown);
  if (mark) {
    take_from(card, mark);
    draw_mark_head(scene, state, card);
    draw_patches(scene, *mark);
    if (state.stage == Stage::rework) draw_step_rows(scene, state, *mark, card.steps, card.before_lift);  // first what the hands need now
    if (mark->kind == MarkKind::part) draw_which_way_round(scene, state, *mark);
    if (mark->kind == MarkKind::part && scene.job() && state.stage == Stage::before_lifting)
      draw_before_lift(scene, card.before_lift, *mark);  // what is open comes before what the part is called
    // Measuring asks what it read and should read; what it is called comes after.
    const bool measuring = scene.job() && state.stage == Stage::measure;
    if (measuring) draw_history(scene, state, card), separator(scene);
    if (mark->kind == MarkKind::part) draw_part(scene, card);
    if (mark->kind == MarkKind::keepout) draw_keepout(scene, card);
    draw_nets(scene, state, *mark);
    if (!measuring) draw_history(scene, state, card);
    return;
  }
  card.mark = nullptr;
  if (scene.job()) return draw_job_sheet(scene, state, card);
  draw_board_sheet(scene, state, card);
  separator(scene);
  if (button(scene, "export-layer", std::string(symbol::out) + "  Export the layer")) scene.intents.push(intent::ExportLayer{});
  separator(scene);
  draw_usual_faults(scene, state, card.symptom);
}

}  // namespace boardlore
