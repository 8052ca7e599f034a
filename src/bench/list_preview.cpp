#include "bench/list_preview.h"

#include <algorithm>
#include <array>
#include <cctype>

#include "bench/widgets.h"
#include "import/read_list.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

constexpr std::size_t most_refused_shown = 6;

std::string counted(std::size_t n, const char* words) { return std::to_string(n) + " " + words; }

}  // namespace

bool looks_like_list(const std::filesystem::path& file) {
  std::string ending = file.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  constexpr std::array endings{".csv", ".tsv", ".txt", ".pos", ".xy", ".xyrs", ".mnt", ".mnb", ".rpt", ".asc", ".ipc", ".356", ".d356", ".ipc356", ".net"};
  return std::find(endings.begin(), endings.end(), ending) != endings.end();
}

ListPreview preview_list(const std::filesystem::path& file, const Layer& layer, const NewId& new_id, Timestamp now) {
  ListPreview preview;
  preview.file = file;
  ListOptions options;
  options.file = file.string();
  const Result<std::string> bytes = read_file(file, max_import_bytes);
  const auto give_up = [&](const Problem& problem) {
    preview.trouble = to_text(problem);
    return preview;
  };
  if (!bytes) return give_up(bytes.problem());
  const Result<Understood> list = understand_list(*bytes, options, layer);
  if (!list) return give_up(list.problem());
  preview.lines.push_back(list->kind + ": " + counted(list->rows, "rows understood, ") + counted(list->refused_count, "not"));
  preview.lines.insert(preview.lines.end(), list->columns.begin(), list->columns.end());
  preview.lines.insert(preview.lines.end(), list->remarks.begin(), list->remarks.end());
  for (const RefusedRow& row : list->refused) preview.refused.push_back("line " + std::to_string(row.line) + ": " + row.reason);
  Result<TiedList> tied = tie_list(options, *list);
  // An empty board has nothing to tie to: the list's frame is then the board's, and this is said.
  if (!tied && layer.marks.empty()) {
    options.frame = "same";
    tied = tie_list(options, *list);
  }
  if (!tied) {
    preview.trouble = "Two or more parts of the list must lie on the board to tie it: place them by hand first (" + to_text(tied.problem()) + ").";
    return preview;
  }
  const std::vector<std::string> how = remarks_on(*tied);
  preview.lines.insert(preview.lines.end(), how.begin(), how.end());
  if (tied->tie.rms_mm > options.max_residual_mm) {
    preview.trouble = "The list does not fit the board: the residual is larger than 1 mm. Mend or remove the part named above.";
    return preview;
  }
  preview.plan = plan_list(layer, *list, *tied, new_id, now);
  for (const RefusedRow& row : preview.plan.refused) preview.refused.push_back("line " + std::to_string(row.line) + ": " + row.reason);
  preview.lines.insert(preview.lines.end(), preview.plan.remarks.begin(), preview.plan.remarks.end());
  preview.lines.push_back(counted(preview.plan.added.size(), "new, ") + counted(preview.plan.changed.size(), "changed, ") +
                          counted(preview.plan.unchanged, "as they were"));
  return preview;
}

PreviewAnswer draw_list_preview(const Scene& scene, const ListPreview& preview, ImVec2 window) {
  const Theme& t = scene.theme;
  PreviewAnswer answer = PreviewAnswer::none;
  const float width = std::min(window.x * 0.7F, t.grid(170));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(5), t.grid(5)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 6 * t.scale);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::PushStyleColor(ImGuiCol_WindowBg, t.panel);
  ImGui::SetNextWindowPos(ImVec2(window.x / 2, window.y / 2), 0, ImVec2(0.5F, 0.5F));
  ImGui::SetNextWindowSizeConstraints(ImVec2(width, 0), ImVec2(width, window.y * 0.8F));
  ImGui::Begin("list-preview", nullptr, ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_AlwaysAutoResize | ImGuiWindowFlags_NoSavedSettings);
  heading(scene, shortened(scene.fonts.heading, preview.file.filename().string(), width - t.grid(10)));
  for (const std::string& line : preview.lines) {
    ImGui::PushTextWrapPos(0);
    text(scene, scene.fonts.small, t.text, line);
    ImGui::PopTextWrapPos();
  }
  if (!preview.refused.empty()) {
    separator(scene);
    text(scene, scene.fonts.strong, t.doubtful, counted(preview.refused.size(), preview.refused.size() == 1 ? "row is not taken" : "rows are not taken"));
    for (std::size_t i = 0; i < preview.refused.size() && i < most_refused_shown; ++i) {
      ImGui::PushTextWrapPos(0);
      text(scene, scene.fonts.small, t.text, preview.refused[i]);
      ImGui::PopTextWrapPos();
    }
    if (preview.refused.size() > most_refused_shown) quiet(scene, "and " + std::to_string(preview.refused.size() - most_refused_shown) + " more");
  }
  separator(scene);
  if (!preview.trouble.empty()) {
    ImGui::PushTextWrapPos(0);
    text(scene, scene.fonts.body, t.bad, std::string(symbol::warning) + "  " + preview.trouble);
    ImGui::PopTextWrapPos();
  }
  const bool ready = preview.trouble.empty() && !preview.plan.edits.empty();
  if (button(scene, "take-list", "Take it", true, 0, ready)) answer = PreviewAnswer::take;
  ImGui::SameLine();
  if (button(scene, "drop-list", preview.trouble.empty() && preview.plan.edits.empty() ? "Close" : "Cancel")) answer = PreviewAnswer::drop;
  ImGui::End();
  ImGui::PopStyleColor();
  ImGui::PopStyleVar(3);
  return answer;
}

}  // namespace boardlore
