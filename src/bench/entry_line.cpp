#include "bench/entry_line.h"

#include "bench/command_table.h"
#include "bench/widgets.h"
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

std::vector<Edit> entry_edits(const Scene& scene, const std::string& line) {
  const ParsedEntry parsed = parse_entry_line(line, entry_context(scene.desk.snapshot));
  const auto* entry = std::get_if<EntryLine>(&parsed);
  if (!entry) return {};
  return edits_of(scene.desk.snapshot, *entry, EntryStamp{scene.new_id, scene.now(), scene.technician});
}

void draw_entry_line(const Scene& scene, BenchState& state) {
  const Theme& t = scene.theme;
  const bool job = scene.job() != nullptr;
  const MarkPtr chosen = scene.layer().marks.find(state.shown);
  const float width = ImGui::GetContentRegionAvail().x, box = std::min(width * 0.42F, t.grid(130));
  if (std::exchange(state.focus_entry, false)) ImGui::SetKeyboardFocusHere();
  const std::string example = chosen && !chosen->refdes.empty() ? chosen->refdes : "C14";
  const std::string hint = job ? "Reading or note, " + key_words(Command::entry_line) + ":  " + example + " 10.5k" : "Readings belong to a job: open one";
  ImGui::BeginDisabled(!job);
  field(scene, "entry-line", hint.c_str(), state.entry, box, true);
  const bool finished = entered();
  ImGui::EndDisabled();
  if (!job || state.entry.find_first_not_of(' ') == std::string::npos) return;
  const std::string line = full_line(scene.layer(), state.entry, chosen.get());
  const EntryPreview preview = preview_entry(scene.desk.snapshot, line, scene.now());
  ImGui::SameLine(0, t.grid(3));
  ImGui::SetCursorPosY(ImGui::GetCursorPosY() + t.grid(1.5F));
  const float room = width - box - t.grid(6);
  if (preview.complete) {
    text(scene, scene.fonts.body, t.text, std::string(symbol::check) + "  " + shortened(scene.fonts.body, preview.understood, room * 0.55F));
    if (preview.verdict) {
      const ImU32 ink = is_out_of_limits(*preview.verdict) ? t.bad : *preview.verdict == Verdict::within_limits ? t.good : t.quiet;
      ImGui::SameLine(0, t.grid(3));
      ImGui::SetCursorPosY(ImGui::GetCursorPosY());
      text(scene, scene.fonts.body, ink, shortened(scene.fonts.body, preview.verdict_text, std::max(20.F, ImGui::GetContentRegionAvail().x)));
    }
  } else {
    std::string words = preview.message + (preview.accepted.empty() ? "" : ": " + preview.accepted);
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
