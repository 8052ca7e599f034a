#include "bench/entry_line.h"

#include <imgui_internal.h>

#include "bench/command_table.h"
#include "bench/widgets.h"
#include "bench/worklist.h"
#include "editing/entry_edits.h"

namespace boardlore {

std::string full_line(const Layer& layer, const std::string& typed, const Mark* chosen) {
  const auto first = typed.find_first_not_of(' ');
  if (first == std::string::npos || !chosen || chosen->refdes.empty()) return typed;
  // Only a line whose first word names no mark gets the chosen one.
  const std::string word = typed.substr(first, typed.find_first_of(" .", first) - first);
  if (!marks_called(layer, word).empty()) return typed;
  return chosen->refdes + " " + typed.substr(first);
}

std::vector<std::string> lines_of(const std::string& typed) {
  constexpr std::string_view sign = "¶";
  std::vector<std::string> lines;
  for (std::size_t at = 0; at <= typed.size();) {
    const std::size_t end = std::min(typed.find(sign, at), typed.size());
    std::string line = typed.substr(at, end - at);
    line.erase(0, line.find_first_not_of(' '));
    while (!line.empty() && line.back() == ' ') line.pop_back();
    if (!line.empty()) lines.push_back(std::move(line));
    at = end + sign.size();
  }
  return lines;
}

std::string with_signs(const std::string& pasted) {
  std::string line;
  for (const char c : pasted) {
    if (c == '\r') continue;
    if (c == '\n') line += line_break_sign;
    else line += c == '\t' ? ' ' : c;
  }
  while (line.ends_with(line_break_sign)) line.resize(line.size() - std::string_view(line_break_sign).size());
  return line;
}

std::vector<Edit> entry_edits(const Scene& scene, const std::string& line) {
  const ParsedEntry parsed = parse_entry_line(line, entry_context(scene.desk.snapshot));
  const auto* entry = std::get_if<EntryLine>(&parsed);
  if (!entry) return {};
  return edits_of(scene.desk.snapshot, *entry, EntryStamp{scene.new_id, scene.now(), scene.technician});
}

namespace {

// Lines that were pasted together: all that are understood are taken, the others stay with what is wrong.
void draw_several_lines(const Scene& scene, BenchState& state, const std::vector<std::string>& lines, const Mark* chosen, bool finished, float room) {
  const Theme& t = scene.theme;
  std::size_t good = 0;
  std::string first_fault, left;
  std::vector<std::string> whole;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const std::string line = full_line(scene.layer(), lines[i], chosen);
    const EntryPreview preview = preview_entry(scene.desk.snapshot, line, scene.now());
    if (preview.complete) {
      ++good;
      whole.push_back(line);
      continue;
    }
    left += (left.empty() ? "" : line_break_sign) + lines[i];
    if (first_fault.empty()) first_fault = "line " + std::to_string(i + 1) + ", character " + std::to_string(preview.fault_column) + ": " + preview.message + (preview.accepted.empty() ? "" : ": " + preview.accepted);
  }
  ImGui::SameLine(0, t.grid(3));
  ImGui::SetCursorPosY(ImGui::GetCursorPosY() + t.grid(1.5F));
  const std::string count = std::to_string(good) + " of " + std::to_string(lines.size()) + " lines understood";
  text(scene, scene.fonts.body, first_fault.empty() ? t.text : t.bad,
       shortened(scene.fonts.body, std::string(first_fault.empty() ? symbol::check : symbol::warning) + "  " + count + (first_fault.empty() ? "" : "; " + first_fault), room));
  if (!finished) return;
  state.focus_entry = true;
  for (const std::string& line : whole) scene.intents.push(intent::EnterLine{line});
  state.entry = left;
}

// A digit of the keypad begins the line wherever the hands are: one of them holds a probe. By character, as Num Lock and the layout
// have it; the row above the letters is bound otherwise.
void begin_by_keypad(BenchState& state) {
  const ImGuiIO& io = ImGui::GetIO();
  if (io.WantTextInput || io.InputQueueCharacters.empty() || io.KeyCtrl || io.KeyAlt) return;
  bool keypad = ImGui::IsKeyPressed(SDL_SCANCODE_KP_PERIOD, false);
  for (int key = SDL_SCANCODE_KP_1; key <= SDL_SCANCODE_KP_0; ++key) keypad |= ImGui::IsKeyPressed(key, false);
  const ImWchar c = io.InputQueueCharacters.back();
  if (!keypad || !((c >= '0' && c <= '9') || c == '.' || c == ',')) return;
  state.entry = static_cast<char>(c);
  state.focus_entry = state.entry_to_end = true;
}

// With nothing typed: what holds for a reading that says no conditions of its own; a click leads to where they are set.
void draw_conditions_held(const Scene& scene, BenchState& state, float room) {
  const Theme& t = scene.theme;
  const Conditions& held = scene.job()->defaults;
  std::string words = "power " + std::string(power_name(held.power)) + ", black on " + (held.black_lead.empty() ? "GND" : held.black_lead);
  if (!held.red_lead.empty()) words += ", red on " + held.red_lead;
  if (!held.instrument.empty()) words += ", with " + held.instrument;
  if (!held.ambient.empty()) words += ", " + held.ambient;
  ImGui::SameLine(0, t.grid(3));
  if (button(scene, "conditions", shortened(scene.fonts.body, words, std::max(20.F, room - t.grid(6))))) state.stage = Stage::measure, state.selected.clear(), state.shown = Id{};
  tooltip(scene, "Conditions that hold for every reading: set them");
}

}  // namespace

void draw_entry_line(const Scene& scene, BenchState& state) {
  const Theme& t = scene.theme;
  const bool job = scene.job() != nullptr;
  const MarkPtr chosen = scene.layer().marks.find(state.shown);
  const float width = ImGui::GetContentRegionAvail().x, box = std::min(width * 0.42F, t.grid(130));
  if (job) begin_by_keypad(state);
  if (std::exchange(state.focus_entry, false) && job) ImGui::SetKeyboardFocusHere();
  const std::string example = chosen && !chosen->refdes.empty() ? chosen->refdes : "C14";
  if (!job) {
    text(scene, scene.fonts.body, t.quiet, "Readings belong to a job. New job on this board, above, opens one.");
    return scene.anchors.note("entry-line");
  }
  const std::string hint = "Reading or note, " + key_words(Command::entry_line) + ":  " + example + " 10.5k";
  {
    // A field of one line would glue pasted lines together: it is handed them with signs between.
    ImGuiIO& io = ImGui::GetIO();
    static thread_local std::string pasted;
    static thread_local const char* (*system_clipboard)(void*) = nullptr;
    system_clipboard = io.GetClipboardTextFn;
    io.GetClipboardTextFn = [](void* user) -> const char* {
      const char* words = system_clipboard(user);
      pasted = with_signs(words ? words : "");
      return pasted.c_str();
    };
    field(scene, "entry-line", hint.c_str(), state.entry, box, true);
    io.GetClipboardTextFn = system_clipboard;
  }
  if (ImGui::IsItemActive() && std::exchange(state.entry_to_end, false))
    if (ImGuiInputTextState* typed = ImGui::GetInputTextState(ImGui::GetItemID())) typed->Stb.cursor = typed->Stb.select_start = typed->Stb.select_end = typed->CurLenW;
  const bool finished = entered();
  // Enter of the keypad on an empty line goes to the next mark: the hand stays where it is.
  if (finished && state.entry.empty() && ImGui::IsKeyPressedMap(ImGuiKey_KeyPadEnter)) {
    const std::vector<WorklistRow>& rows = scene.derived.worklist(scene.desk, state.stage, state.filter);
    if (const Id* next = neighbour_in_worklist(rows, state.shown, 1)) scene.intents.push(intent::ShowMark{*next});
    state.focus_entry = true;
  }
  if (state.entry.find_first_not_of(' ') == std::string::npos) return draw_conditions_held(scene, state, width - box - t.grid(6));
  const std::vector<std::string> lines = lines_of(state.entry);
  if (lines.size() > 1) return draw_several_lines(scene, state, lines, chosen.get(), finished, width - box - t.grid(6));
  const std::string line = full_line(scene.layer(), lines.empty() ? state.entry : lines.front(), chosen.get());
  const EntryPreview preview = preview_entry(scene.desk.snapshot, line, scene.now());
  ImGui::SameLine(0, t.grid(3));
  ImGui::SetCursorPosY(ImGui::GetCursorPosY() + t.grid(1.5F));
  const float room = width - box - t.grid(6);
  if (preview.complete) {
    text(scene, scene.fonts.body, t.text, shortened(scene.fonts.body, "Enter takes  " + preview.understood, room * 0.55F));  // no tick: it may be out of limits
    if (!preview.cautions.empty()) {
      // What can hurt the meter or make the value worthless comes before the verdict.
      ImGui::SameLine(0, t.grid(3));
      text(scene, scene.fonts.body, t.doubtful, std::string(symbol::warning) + "  " + shortened(scene.fonts.body, preview.cautions.front(), std::max(20.F, room * 0.3F)));
      scene.anchors.note("entry-caution");
    }
    if (preview.verdict) {
      const ImU32 ink = is_out_of_limits(*preview.verdict) ? t.bad : *preview.verdict == Verdict::within_limits ? t.good : t.quiet;
      ImGui::SameLine(0, t.grid(3));
      ImGui::SetCursorPosY(ImGui::GetCursorPosY());
      text(scene, scene.fonts.body, ink, shortened(scene.fonts.body, preview.verdict_text, std::max(20.F, ImGui::GetContentRegionAvail().x)));
    }
  } else {
    std::string words = "character " + std::to_string(preview.fault_column) + ": " + preview.message + (preview.accepted.empty() ? "" : ": " + preview.accepted);
    for (const EntryChoice& choice : preview.choices) words += "   " + choice.line;
    const bool question = !preview.choices.empty();
    text(scene, scene.fonts.body, question ? t.doubtful : t.bad, std::string(question ? symbol::help : symbol::warning) + "  " + shortened(scene.fonts.body, words, room));
  }
  if (!finished) return;
  state.focus_entry = true;  // the next reading is typed right after
  if (!preview.complete) return;
  scene.intents.push(intent::EnterLine{line});
  state.entry.clear();
}

}  // namespace boardlore
