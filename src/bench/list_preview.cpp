#include "bench/list_preview.h"

#include <algorithm>
#include <array>
#include <cctype>

#include "bench/list_tie_view.h"
#include "bench/widgets.h"
#include "storage/file_bytes.h"

namespace boardlore {
namespace {

std::string counted(std::size_t n, const char* words) { return std::to_string(n) + " " + words; }

// What the command line would say; here the choices stand below.
std::string without_option(std::string remark) {
  const std::size_t from = remark.find(" (override with --"), end = remark.find(')', from == std::string::npos ? 0 : from);
  if (from != std::string::npos && end != std::string::npos) remark.erase(from, end - from + 1);
  return remark;
}

std::string joined(const std::vector<std::string>& words) {
  std::string line;
  for (const std::string& word : words) line += (line.empty() ? "" : ", ") + word;
  return line;
}

std::vector<ListedPlace> places_in(const Understood& list) {
  std::vector<ListedPlace> places;
  for (const PlacementRow& row : list.placement.rows) places.push_back({row.refdes, row.at, row.side});
  for (const NetlistPart& part : parts_of(list.netlist)) {
    std::optional<Side> side;
    for (const NetlistPoint* point : part.points)
      if (!side) side = side_of(*point, list.netlist);
    places.push_back({part.refdes, part.middle, side});
  }
  for (const PointRow& row : list.points.rows)
    if (!row.refdes.empty()) places.push_back({row.refdes, row.at, row.side});
  return places;
}

// One of a few words, side by side. True: another one was chosen.
bool choice(const Scene& scene, const char* name, const char* caption, std::initializer_list<std::pair<const char*, const char*>> words, std::string& value) {
  ImGui::AlignTextToFramePadding();
  quiet(scene, caption);
  const std::string before = value;
  float at = scene.theme.grid(18);
  for (const auto& [shown, said] : words) {
    ImGui::SameLine(at);
    if (choice(scene, (std::string(name) + "-" + shown).c_str(), shown, value == said)) value = said;
    at += ImGui::GetItemRectSize().x + scene.theme.grid(1);
  }
  return value != before;
}

}  // namespace

bool looks_like_list(const std::filesystem::path& file) {
  std::string ending = file.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  constexpr std::array endings{".csv", ".tsv", ".txt", ".pos", ".xy", ".xyrs", ".mnt", ".mnb", ".rpt", ".asc", ".ipc", ".356", ".d356", ".ipc356", ".net"};
  return std::find(endings.begin(), endings.end(), ending) != endings.end();
}

ListPreview preview_list(const std::filesystem::path& file, const Layer& layer, const NewId& new_id, Timestamp now, ListOptions options) {
  ListPreview preview;
  preview.file = file;
  options.file = file.string();
  preview.options = options;
  const Result<std::string> bytes = read_file(file, max_import_bytes);
  const auto give_up = [&](const Problem& problem) {
    preview.trouble = to_text(problem);
    return preview;
  };
  if (!bytes) return give_up(bytes.problem());
  const Result<Understood> list = understand_list(*bytes, options, layer);
  if (!list) return give_up(list.problem());
  preview.places = places_in(*list);
  preview.lines.push_back(list->kind + ": " + counted(list->rows, "rows understood, ") + counted(list->refused_count, "not"));
  std::vector<std::string> understood;
  if (!list->columns.empty()) understood.push_back(joined(list->columns));
  for (const std::string& remark : list->remarks) understood.push_back(without_option(remark));
  const auto refused_in_order = [&](std::vector<RefusedRow> rows) {
    std::stable_sort(rows.begin(), rows.end(), [](const RefusedRow& a, const RefusedRow& b) { return a.line < b.line; });
    for (const RefusedRow& row : rows) preview.refused.push_back("line " + std::to_string(row.line) + ": " + row.reason);
  };
  refused_in_order(list->refused);
  if (list->refused_count > list->refused.size()) preview.refused.push_back("and " + counted(list->refused_count - list->refused.size(), "more"));
  const auto say_understood = [&] { preview.lines.insert(preview.lines.end(), understood.begin(), understood.end()); };
  Result<TiedList> tied = tie_list(options, *list);
  if (!tied) {
    say_understood();
    preview.trouble = tied.problem().outcome == Outcome::finding
                          ? "How the list lies on the board is not known: click two or three of its parts on the photo, or take its frame as the board's."
                          : to_text(tied.problem());
    return preview;
  }
  // How it lies comes first: that is what is looked at while its parts are clicked.
  for (const std::string& remark : remarks_on(*tied)) preview.lines.push_back(without_option(remark));
  for (const ListedPlace& place : preview.places)
    if (const auto at = tied->tie.board_from_import(place.at)) preview.on_board.push_back({place.refdes, *at, place.side});
  if (tied->tie.rms_mm > options.max_residual_mm) {
    say_understood();
    preview.trouble = "The list does not fit the board: the residual is larger than 1 mm. Click the part named above again, or look at units and mirror.";
    return preview;
  }
  preview.plan = plan_list(layer, *list, *tied, new_id, now);
  refused_in_order(preview.plan.refused);
  preview.lines.push_back(counted(preview.plan.added.size(), "new, ") + counted(preview.plan.changed.size(), "changed, ") +
                          counted(preview.plan.unchanged, "as they were"));
  preview.lines.insert(preview.lines.end(), preview.plan.remarks.begin(), preview.plan.remarks.end());
  say_understood();
  return preview;
}

PreviewAnswer draw_list_preview(const Scene& scene, BenchState& state, ListPreview& preview, ImVec2 window) {
  const Theme& t = scene.theme;
  PreviewAnswer answer = PreviewAnswer::none;
  const bool tying = state.tying.on;
  const float width = tying ? std::min(window.x * 0.3F, t.grid(115)) : std::min(window.x * 0.7F, t.grid(170));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(t.grid(5), t.grid(4)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 6 * t.scale);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::PushStyleColor(ImGuiCol_WindowBg, t.panel);
  // Beside the photo while its parts are clicked there.
  if (tying) ImGui::SetNextWindowPos(ImVec2(window.x - t.grid(2), t.grid(20)), 0, ImVec2(1, 0));
  else ImGui::SetNextWindowPos(ImVec2(window.x / 2, window.y / 2), 0, ImVec2(0.5F, 0.5F));
  ImGui::SetNextWindowSizeConstraints(ImVec2(width, 0), ImVec2(width, tying ? window.y - t.grid(22) : window.y * 0.88F));
  ImGui::Begin(tying ? "list-tie" : "list-preview", nullptr, ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_AlwaysAutoResize | ImGuiWindowFlags_NoSavedSettings);
  heading(scene, shortened(scene.fonts.heading, preview.file.filename().string(), width - t.grid(10)));
  ImGui::BeginChild("understood", ImVec2(0, window.y * (tying ? 0.24F : preview.refused.empty() ? 0.36F : 0.26F)));
  for (const std::string& line : preview.lines) {
    ImGui::PushTextWrapPos(0);
    text(scene, scene.fonts.small, t.text, line);
    ImGui::PopTextWrapPos();
  }
  ImGui::EndChild();
  if (!preview.refused.empty()) {
    separator(scene);
    text(scene, scene.fonts.strong, t.doubtful, counted(preview.refused.size(), preview.refused.size() == 1 ? "row is not taken" : "rows are not taken"));
    scene.anchors.note("refused-rows");
    // While clicking the count is enough: the rows were seen before, and the photo needs the room.
    if (!tying) ImGui::BeginChild("refused", ImVec2(0, std::min(window.y * 0.16F, t.grid(6) * static_cast<float>(preview.refused.size()) + t.grid(2))));
    for (const std::string& row : preview.refused) {
      if (tying) break;
      ImGui::PushTextWrapPos(0);
      text(scene, scene.fonts.small, t.text, row);
      ImGui::PopTextWrapPos();
    }
    if (!tying) ImGui::EndChild();
  }
  separator(scene);
  // What a person says over what the list says.
  bool again = choice(scene, "list-units", "Units", {{"as said", ""}, {"mm", "mm"}, {"mil", "mil"}, {"inch", "inch"}}, preview.options.units);
  again = choice(scene, "list-mirror", "Mirrored", {{"find out", "find"}, {"no", "no"}, {"yes", "yes"}}, preview.options.mirror) || again;
  if (preview.places.empty() || preview.options.kind == "placement" || !preview.options.columns.empty() || !tying) {
    ImGui::AlignTextToFramePadding();
    quiet(scene, "Columns");
    ImGui::SameLine(t.grid(18));
    again = field(scene, "list-columns", "as found; or refdes,x,y,rotation,side,value,package, - to skip", preview.options.columns) || again;
  }
  separator(scene);
  if (tying) {
    again = draw_tying(scene, state, preview) || again;
    separator(scene);
  }
  if (!preview.trouble.empty()) {
    ImGui::PushTextWrapPos(0);
    text(scene, scene.fonts.body, t.bad, std::string(symbol::warning) + "  " + preview.trouble);
    ImGui::PopTextWrapPos();
  }
  const bool ready = preview.trouble.empty() && !preview.plan.edits.empty();
  if (button(scene, "take-list", "Take it", true, 0, ready)) answer = PreviewAnswer::take;
  ImGui::SameLine();
  if (button(scene, "drop-list", preview.trouble.empty() && preview.plan.edits.empty() ? "Close" : "Cancel")) answer = PreviewAnswer::drop;
  if (!preview.places.empty()) {
    ImGui::SameLine(0, t.grid(6));
    if (button(scene, "tie-list", tying ? "Done clicking" : "Click parts on the photo", !ready && !tying)) state.tying = Tying{!tying, "", "", std::nullopt};
    if (!tying && preview.options.ties.empty()) {
      ImGui::SameLine();
      const bool same = preview.options.frame == "same";
      if (button(scene, "list-same-frame", same ? "Find its frame" : "Its frame is the board's")) preview.options.frame = same ? "find" : "same", again = true;
    }
  }
  ImGui::End();
  ImGui::PopStyleColor();
  ImGui::PopStyleVar(3);
  return answer == PreviewAnswer::none && again ? PreviewAnswer::again : answer;
}

}  // namespace boardlore
