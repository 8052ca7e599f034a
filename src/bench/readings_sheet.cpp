#include "bench/readings_sheet.h"

#include <array>

#include "bench/widgets.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

struct Column {
  const char* name;
  const char* head;
  std::optional<ReadingOrder> order;
  float steps;  // of the grid; 0: what is left
};
constexpr std::array<Column, 6> columns{{{"point", "Point", ReadingOrder::refdes, 16}, {"quantity", "Quantity", ReadingOrder::quantity, 21},
    {"value", "Value", ReadingOrder::value, 24}, {"verdict", "Verdict", ReadingOrder::verdict, 42}, {"reason", "Why", std::nullopt, 0},
    {"taken", "Taken", ReadingOrder::taken, 28}}};

void refresh(const Scene& scene, ReadingsSheet& sheet) {
  const auto same = [&](const ReadingFilter& a, const ReadingFilter& b) {
    return a.text == b.text && a.quantity == b.quantity && a.out_of_limits_only == b.out_of_limits_only;
  };
  if (sheet.of_job == scene.desk.snapshot.job && sheet.of_layer == scene.desk.snapshot.layer && same(sheet.of_filter, sheet.filter) &&
      sheet.of_order == sheet.order && sheet.of_descending == sheet.descending)
    return;
  sheet.of_job = scene.desk.snapshot.job, sheet.of_layer = scene.desk.snapshot.layer, sheet.of_filter = sheet.filter;
  sheet.of_order = sheet.order, sheet.of_descending = sheet.descending;
  sheet.rows = reading_rows(scene.layer(), *scene.job(), sheet.filter, sheet.order, sheet.descending, scene.now());
}

void draw_filters(const Scene& scene, BenchState& state) {
  const Theme& t = scene.theme;
  ReadingsSheet& sheet = state.readings;
  field(scene, "readings-find", (std::string(symbol::search) + "  Point, words or who").c_str(), sheet.filter.text, t.grid(56));
  ImGui::SameLine(0, t.grid(2));
  if (button(scene, "readings-quantity", sheet.filter.quantity ? std::string(quantity_name(*sheet.filter.quantity)) : "Any quantity", sheet.filter.quantity.has_value())) {
    // Steps through those that occur in this job, then back to any.
    std::vector<Quantity> seen;
    for (const Reading& reading : scene.job()->readings)
      if (std::find(seen.begin(), seen.end(), reading.quantity) == seen.end()) seen.push_back(reading.quantity);
    std::sort(seen.begin(), seen.end());
    const auto now = sheet.filter.quantity ? std::find(seen.begin(), seen.end(), *sheet.filter.quantity) : seen.end();
    if (!sheet.filter.quantity) sheet.filter.quantity = seen.empty() ? std::nullopt : std::optional(seen.front());
    else sheet.filter.quantity = now == seen.end() || now + 1 == seen.end() ? std::nullopt : std::optional(*(now + 1));
  }
  tooltip(scene, "Any quantity, or one after the other");
  ImGui::SameLine(0, t.grid(2));
  if (button(scene, "readings-out", "Out of limits only", sheet.filter.out_of_limits_only)) sheet.filter.out_of_limits_only = !sheet.filter.out_of_limits_only;
  ImGui::SameLine(0, t.grid(2));
  if (button(scene, "readings-csv", std::string(symbol::out) + "  CSV")) {
    const std::string csv = readings_csv(sheet.rows);
    scene.intents.push(intent::Work{"write the readings", [csv](Folder& folder) -> Result<std::string> {
      const std::filesystem::path file = folder.dir() / "readings.csv";
      if (const Result<Done> done = write_file_atomically(file, csv); !done) return done.problem();
      return "Readings written to " + file.string();
    }});
  }
  ImGui::SameLine(0, t.grid(2));
  if (button(scene, "readings-close", "Back to the photo")) sheet.shown = false;
}

}  // namespace

void draw_readings_sheet(const Scene& scene, BenchState& state, ImVec2 min, ImVec2 max) {
  const Theme& t = scene.theme;
  ReadingsSheet& sheet = state.readings;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  list.AddRectFilled(min, max, t.panel);
  ImGui::SetCursorScreenPos(ImVec2(min.x + t.grid(4), min.y + t.grid(3)));
  ImGui::BeginGroup();
  draw_filters(scene, state);
  refresh(scene, sheet);
  ImGui::EndGroup();
  const float left = min.x + t.grid(4), width = max.x - min.x - t.grid(8), row_h = t.grid(7.5F);
  float fixed = 0;
  for (const Column& column : columns) fixed += t.grid(column.steps);
  const auto wide = [&](const Column& column) { return column.steps > 0 ? t.grid(column.steps) : std::max(t.grid(20), width - fixed); };
  // Heads: a click sorts, a second one turns the order round.
  float x = left;
  const float head_y = min.y + t.grid(15);
  for (const Column& column : columns) {
    const float w = wide(column);
    const bool on = column.order == sheet.order;
    const std::string words = std::string(column.head) + (on ? sheet.descending ? "  ▼" : "  ▲" : "");
    list.AddText(scene.fonts.small, scene.fonts.small->FontSize, ImVec2(x, head_y + t.grid(1)), on ? t.text : t.quiet, words.c_str());
    if (column.order) {
      ImGui::SetCursorScreenPos(ImVec2(x, head_y));
      const std::string name = std::string("readings-by-") + column.name;
      if (ImGui::InvisibleButton(name.c_str(), ImVec2(w, t.grid(6)))) {
        sheet.descending = on && !sheet.descending;
        sheet.order = *column.order;
      }
      scene.anchors.note(name);
    }
    x += w;
  }
  list.AddLine(ImVec2(left, head_y + t.grid(6.5F)), ImVec2(left + width, head_y + t.grid(6.5F)), t.line);
  ImGui::SetCursorScreenPos(ImVec2(left, head_y + t.grid(7)));
  if (sheet.rows.empty()) {
    quiet(scene, scene.job()->readings.empty() ? "No readings yet. Type one in the line below, as: C14 10.5k" : "No reading fits what is asked for.");
    return;
  }
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(0, 0));
  ImGui::BeginChild("readings-rows", ImVec2(width, max.y - head_y - t.grid(8)));
  ImDrawList& body = *ImGui::GetWindowDrawList();
  ImGuiListClipper clipper;
  clipper.Begin(static_cast<int>(sheet.rows.size()), row_h);
  while (clipper.Step())
    for (int i = clipper.DisplayStart; i < clipper.DisplayEnd; ++i) {
      const ReadingRow& row = sheet.rows[static_cast<std::size_t>(i)];
      ImGui::PushID(row.reading.id.text.c_str());
      const ImVec2 at = ImGui::GetCursorScreenPos();
      if (ImGui::InvisibleButton("row", ImVec2(width, row_h))) state.selected = {row.reading.mark}, state.shown = row.reading.mark;
      if (ImGui::IsItemHovered() || state.shown == row.reading.mark) body.AddRectFilled(at, ImVec2(at.x + width, at.y + row_h), t.raised, 3 * t.scale);
      scene.anchors.note("reading-" + std::to_string(i));
      ImGui::PopID();
      const Verdict verdict = row.judgement.verdict;
      const ImU32 ink = is_out_of_limits(verdict) ? t.bad : verdict == Verdict::within_limits ? t.good : t.text;
      const std::string taken = to_rfc3339(row.reading.taken_at);
      const std::array<std::string, columns.size()> cells{row.reading.refdes + (row.reading.pin.empty() ? "" : "." + row.reading.pin),
          std::string(quantity_name(row.reading.quantity)), row.value, (is_out_of_limits(verdict) ? std::string(symbol::warning) + " " : "") + std::string(verdict_words(verdict)),
          row.judgement.reason, taken.substr(0, 10) + " " + taken.substr(11, 5)};
      float cell_x = at.x;
      for (std::size_t c = 0; c < columns.size(); ++c) {
        ImFont* font = c == 2 ? scene.fonts.value : c == 0 ? scene.fonts.strong : scene.fonts.small;
        const float w = wide(columns[c]);
        const std::string words = shortened(font, cells[c], w - t.grid(2));
        body.AddText(font, font->FontSize, ImVec2(cell_x, at.y + (row_h - font->FontSize) / 2), c == 3 ? ink : c == 4 || c == 5 || c == 1 ? t.quiet : t.text, words.c_str());
        cell_x += w;
      }
    }
  ImGui::EndChild();
  ImGui::PopStyleVar();
}

}  // namespace boardlore
