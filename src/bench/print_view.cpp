#include "bench/print_view.h"

#include <cstdio>

#include "bench/command_table.h"
#include "bench/widgets.h"

namespace boardlore {
namespace {

std::string confidence_words(const ReadDesignator& one) {
  char words[64];
  std::snprintf(words, sizeof words, "%.2f", one.confidence);
  return words;
}

void take_current(const Scene& scene, PrintReader& reader) {
  const Side side = reader.side();
  Mark mark = mark_of(reader.settle(), side);
  // Somebody may have placed that name by hand meanwhile: nothing is placed twice.
  bool there = false;
  scene.layer().marks.each([&](const MarkPtr& other) { there = there || other->refdes == mark.refdes; });
  if (there) return scene.intents.push(intent::Say{mark.refdes + " is on the board already.", true});
  mark.id = scene.new_id(), mark.changed_at = scene.now();
  scene.intents.commit("place " + mark.refdes, {PlaceMark{std::move(mark)}});
}

}  // namespace

void look_at_proposal(const Scene& scene, BenchState& state, const PrintReader& reader) {
  const DeskPhoto* photo = scene.desk.find_photo(state.pane[0].photo);
  if (!photo || !reader.is_asking(photo->photo.id)) return;
  PaneState& pane = state.pane[0];
  if (const PhotoMap* map = scene.derived.map_of(photo->photo))
    look_at(pane, *map, reader.proposals()[reader.current()].at, 3, ImVec2(pane.width, pane.height));
}

void draw_proposals(const Scene& scene, BenchState& state, PrintReader& reader) {
  const Theme& t = scene.theme;
  heading(scene, "Read from the print");
  const ReadDesignator& now = reader.proposals()[reader.current()];
  quiet(scene, std::to_string(reader.proposals().size()) + (reader.proposals().size() == 1 ? " name waits" : " names wait") + ", best first");
  separator(scene);
  text(scene, scene.fonts.heading, t.text, now.refdes);
  quiet(scene, "confidence " + confidence_words(now) + (now.turn_deg == 0 ? "" : ", reads turned by " + std::to_string(now.turn_deg) + "°"));
  quiet_wrapped(scene, "The mark is placed on the name; the part lies beside it. Markings of parts can look like names too.");
  const bool keys = !ImGui::GetIO().WantTextInput;
  const bool take = button(scene, "take-name", "Place it  " + key_words(Command::accept), true) || (keys && pressed(Command::accept));
  ImGui::SameLine();
  const bool reject = button(scene, "reject-name", "Not one  " + key_words(Command::remove)) || (keys && pressed(Command::remove));
  separator(scene);
  std::optional<std::size_t> go_to;
  ImGui::BeginChild("names", ImVec2(0, -t.grid(14)));
  ImGuiListClipper clipper;
  clipper.Begin(static_cast<int>(reader.proposals().size()));
  while (clipper.Step())
    for (int i = clipper.DisplayStart; i < clipper.DisplayEnd; ++i) {
      const auto index = static_cast<std::size_t>(i);
      const ReadDesignator& one = reader.proposals()[index];
      ImGui::PushID(i);
      if (ImGui::Selectable((one.refdes + "##name").c_str(), index == reader.current())) go_to = index;
      ImGui::PopID();
      scene.anchors.note("name-" + one.refdes);
      ImGui::SameLine(t.grid(40));
      quiet(scene, confidence_words(one));
    }
  ImGui::EndChild();
  const bool close = button(scene, "close-names", "Leave the rest");
  if (take) take_current(scene, reader);
  else if (reject) (void)reader.settle();
  else if (go_to) reader.go_to(*go_to);
  if (take || reject || go_to) look_at_proposal(scene, state, reader);
  if (close) reader.forget();
}

void draw_proposals_on_photo(const Scene& scene, const PrintReader& reader, const PaneLook& look) {
  if (!look.photo || !look.map || !reader.is_asking(look.photo->photo.id)) return;
  const Theme& t = scene.theme;
  look.list->PushClipRect(look.min, look.max, true);
  for (std::size_t i = 0; i < reader.proposals().size(); ++i) {
    const ReadDesignator& one = reader.proposals()[i];
    const auto at = look.to_screen(one.at);
    if (!at) continue;
    const bool asked = i == reader.current();
    const bool upright = one.turn_deg == 90 || one.turn_deg == 270;
    const double px_per_mm = look.map->px_per_mm(one.at) * look.screen_from_photo.zoom();
    const auto tall = static_cast<float>(0.9 * one.height_mm * px_per_mm) + t.grid(1);
    const float wide = tall * (0.6F + 0.35F * static_cast<float>(one.refdes.size()));
    const ImVec2 half = upright ? ImVec2(tall, wide) : ImVec2(wide, tall);
    const ImVec2 a(at->x - half.x, at->y - half.y), b(at->x + half.x, at->y + half.y);
    look.list->AddRect(a, b, IM_COL32(0, 0, 0, 230), 3, 0, asked ? 5.F : 3.F);
    look.list->AddRect(a, b, asked ? t.strong : IM_COL32(255, 255, 255, 255), 3, 0, asked ? 3.F : 1.F);
    if (!asked) continue;
    ImFont* font = scene.fonts.strong;
    const ImVec2 size = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, one.refdes.c_str());
    const ImVec2 corner(at->x - size.x / 2, b.y + t.grid(1.5F));
    look.list->AddRectFilled(ImVec2(corner.x - 4, corner.y - 2), ImVec2(corner.x + size.x + 4, corner.y + size.y + 2), IM_COL32(0, 0, 0, 220), 3);
    look.list->AddText(font, font->FontSize, corner, IM_COL32(255, 255, 255, 255), one.refdes.c_str());
  }
  look.list->PopClipRect();
}

}  // namespace boardlore
