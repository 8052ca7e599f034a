#include "bench/start_page.h"

#include <algorithm>
#include <cmath>

#include "bench/command_table.h"
#include "bench/shop_hits.h"
#include "bench/widgets.h"

namespace boardlore {
namespace {

std::optional<double> millimetres(std::string words) {
  std::replace(words.begin(), words.end(), ',', '.');
  char* end = nullptr;
  const double value = std::strtod(words.c_str(), &end);
  return end != words.c_str() && value > 0 && std::isfinite(value) ? std::optional(value) : std::nullopt;
}

void draw_list(const Scene& scene, StartPageState& page, float height) {
  const Theme& t = scene.theme;
  text(scene, scene.fonts.heading, t.text, "Boards and jobs");
  field(scene, "library-filter", (std::string(symbol::search) + "  Search boards, jobs and marks").c_str(), page.filter);
  const bool enter = entered();
  if (const auto part = scene.shop.reading()) quiet(scene, "Reading the shop's jobs, " + std::to_string(static_cast<int>(*part * 100)) + " %");
  if (!page.filter.empty()) return draw_shop_hits(scene, scene.shop.found(page.filter), {}, height - t.grid(12), enter);
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(0, t.grid(0.5F)));
  ImGui::BeginChild("library-rows", ImVec2(0, height));
  const float width = ImGui::GetContentRegionAvail().x, row_height = t.grid(17);
  ImDrawList& list = *ImGui::GetWindowDrawList();
  int shown = 0;
  std::vector<std::pair<std::filesystem::path, bool>> untitled;
  for (LibraryEntry& entry : page.entries) {
    if (entry.hidden) continue;
    ++shown;
    ImGui::PushID(entry.dir.c_str());
    const ImVec2 at = ImGui::GetCursorScreenPos();
    const float job_width = entry.is_job ? 0 : t.grid(24);
    if (ImGui::InvisibleButton("open", ImVec2(width - job_width - t.grid(2), row_height))) scene.intents.push(intent::OpenFolder{entry.dir});
    scene.anchors.note("library-" + entry.name);
    if (ImGui::IsItemHovered()) list.AddRectFilled(at, ImVec2(at.x + width - job_width - t.grid(2), at.y + row_height), t.raised, 4);
    const ImVec2 picture_min(at.x + t.grid(1.5F), at.y + t.grid(1.5F)), picture_max(at.x + t.grid(21), at.y + row_height - t.grid(1.5F));
    list.AddRectFilled(picture_min, picture_max, t.bench, 3);
    const bool in_view = ImGui::IsRectVisible(picture_min, picture_max);
    if (in_view && !std::exchange(entry.looked, true)) {
      entry.hidden = !is_document_folder(entry.dir);
      if (!entry.hidden) entry.picture = picture_of(entry.dir);
    }
    if (in_view && !entry.titled && !page.naming_at_work) entry.titled = true, untitled.emplace_back(entry.dir, entry.is_job);
    if (!entry.picture.empty() && in_view && scene.textures.ask(entry.picture, false).trouble.empty())
      scene.textures.draw_thumbnail(list, entry.picture, picture_min, picture_max);
    const float words_w = width - job_width - t.grid(28);
    list.AddText(scene.fonts.strong, scene.fonts.strong->FontSize, ImVec2(at.x + t.grid(24), at.y + t.grid(3.5F)), t.text, shortened(scene.fonts.strong, entry.title.empty() ? entry.name : entry.title, words_w).c_str());
    const std::string what = std::string(entry.is_job ? "job, " : "board, ") + (entry.title.empty() ? "in " : entry.name + " in ");
    const float what_w = scene.fonts.small->CalcTextSizeA(scene.fonts.small->FontSize, FLT_MAX, 0, what.c_str()).x;
    const std::string detail = shortened(scene.fonts.small, what + shortened_left(scene.fonts.small, entry.detail, words_w - what_w), words_w);
    list.AddText(scene.fonts.small, scene.fonts.small->FontSize, ImVec2(at.x + t.grid(24), at.y + t.grid(9)), t.quiet, detail.c_str());
    if (!entry.is_job) {
      ImGui::SameLine();
      ImGui::SetCursorScreenPos(ImVec2(at.x + width - job_width, at.y + t.grid(5)));
      if (button(scene, ("new-job-" + entry.name).c_str(), "New job")) page.job_on = entry.dir, page.dropped.clear(), page.focus_first = true;
      ImGui::SetCursorScreenPos(ImVec2(at.x, at.y + row_height + t.grid(0.5F)));
    }
    ImGui::PopID();
  }
  if (!untitled.empty()) {
    page.naming_at_work = true;
    page.naming = decltype(page.naming)::start([untitled = std::move(untitled)](const TaskReins& reins) {
      std::vector<std::pair<std::filesystem::path, std::string>> titles;
      for (const auto& [dir, is_job] : untitled)
        if (!reins.stop.stop_requested()) titles.emplace_back(dir, title_of(dir, is_job));
      return titles;
    });
  }
  if (shown == 0) quiet(scene, "None yet: the first one begins with a photo.");
  if (page.entries.size() >= most_listed) quiet(scene, "Older jobs are found by searching.");
  ImGui::EndChild();
  ImGui::PopStyleVar();
}

void draw_new_board(const Scene& scene, StartPageState& page, const std::filesystem::path& library) {
  const Theme& t = scene.theme;
  text(scene, scene.fonts.heading, t.text, "New board");
  for (std::size_t i = 0; i < page.dropped.size() && i < 4; ++i)
    quiet(scene, std::string(symbol::photo) + "  " + shortened(scene.fonts.small, page.dropped[i].filename().string(), t.grid(60)) + (i == 0 ? ", top" : i == 1 ? ", bottom" : ""));
  if (std::exchange(page.focus_first, false)) ImGui::SetKeyboardFocusHere();
  bool enter = false;  // in any of the fields: it is meant as the button
  captioned_field(scene, "new-maker", "Maker", "who made the board", page.maker);
  enter |= entered();
  const float half = (ImGui::GetContentRegionAvail().x - t.grid(2)) / 2;
  captioned_field(scene, "new-model", "Model", "", page.model, half);
  enter |= entered();
  ImGui::SameLine();
  captioned_field(scene, "new-revision", "Revision", "", page.revision, half);
  enter |= entered();
  captioned_field(scene, "new-width", "Width, mm", "measure it, or leave it open", page.width, half);
  enter |= entered();
  ImGui::SameLine();
  captioned_field(scene, "new-height", "Height, mm", "", page.height, half);
  enter |= entered();
  if (button(scene, "make-board", "Make the board", true) || enter) {
    const auto misread = [](const std::string& words) { return !words.empty() && !millimetres(words); };
    if (page.model.empty()) return scene.faults.refuse("new-model", page.model, "The model is needed: the board is found by it.");
    if (misread(page.width)) return scene.faults.refuse("new-width", page.width, "Expected millimetres above 0, as 148; or leave it open.");
    if (misread(page.height)) return scene.faults.refuse("new-height", page.height, "Expected millimetres above 0, as 96; or leave it open.");
    Board board;
    board.maker = page.maker, board.model = page.model, board.revision = page.revision;
    board.width_mm = millimetres(page.width), board.height_mm = millimetres(page.height);
    const std::string name = folder_name(page.maker + " " + page.model + " " + page.revision);
    std::filesystem::path dir = library / "boards" / name;
    for (int n = 2; is_document_folder(dir); ++n) dir = library / "boards" / (name + "-" + std::to_string(n));
    scene.intents.push(intent::NewBoard{dir, board, page.dropped});
    page = StartPageState{};
  }
  ImGui::SameLine();
  if (button(scene, "drop-board", "Cancel")) page.dropped.clear();
}

void draw_new_job(const Scene& scene, StartPageState& page, const std::filesystem::path& library) {
  const Theme& t = scene.theme;
  text(scene, scene.fonts.heading, t.text, "New job");
  const auto on = std::find_if(page.entries.begin(), page.entries.end(), [&](const LibraryEntry& entry) { return entry.dir == page.job_on && !entry.title.empty(); });
  quiet(scene, "on " + (on == page.entries.end() ? page.job_on.filename().string() : on->title));
  if (std::exchange(page.focus_first, false)) ImGui::SetKeyboardFocusHere();
  bool enter = false;
  captioned_field(scene, "job-new-reported", "What the owner reports", "does not start", page.reported);
  enter |= entered();
  captioned_field(scene, "job-new-serial", "Serial number of the unit", "", page.serial);
  enter |= entered();
  captioned_field(scene, "job-new-owner", "Owner", "", page.owner);
  enter |= entered();
  if (button(scene, "make-job", "Open the job", true) || enter) {
    if (page.reported.empty()) return scene.faults.refuse("job-new-reported", page.reported, "What the owner reports is needed: the job is called by it.");
    Job job;
    job.reported = page.reported, job.unit.serial = page.serial, job.unit.owner = page.owner;
    const std::string day = to_rfc3339(scene.now()).substr(0, 10);
    const std::string name = day + "-" + folder_name(page.reported);
    std::filesystem::path dir = library / "jobs" / name;
    for (int n = 2; is_document_folder(dir); ++n) dir = library / "jobs" / (name + "-" + std::to_string(n));
    scene.intents.push(intent::NewJob{dir, page.job_on, job});
    page = StartPageState{};
  }
  ImGui::SameLine();
  if (button(scene, "drop-job", "Cancel")) page.job_on.clear();
  quiet_wrapped(scene, "Serial number and owner stay in the job's folder.");
}

void draw_welcome(const Scene& scene, StartPageState& page) {
  const Theme& t = scene.theme;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const ImVec2 at = ImGui::GetCursorScreenPos(), size(ImGui::GetContentRegionAvail().x, t.grid(44));
  // Drop here: a plain field with a dashed edge.
  list.AddRectFilled(at, ImVec2(at.x + size.x, at.y + size.y), t.raised, 6);
  const float dash = t.grid(2);
  for (float x = at.x + dash; x + dash < at.x + size.x; x += 2 * dash)
    for (const float y : {at.y + 1, at.y + size.y - 1}) list.AddLine(ImVec2(x, y), ImVec2(x + dash, y), t.quiet, t.line_px(2));
  for (float y = at.y + dash; y + dash < at.y + size.y; y += 2 * dash)
    for (const float x : {at.x + 1, at.x + size.x - 1}) list.AddLine(ImVec2(x, y), ImVec2(x, y + dash), t.quiet, t.line_px(2));
  const auto centred = [&](ImFont* font, float y, ImU32 ink, const std::string& words) {
    const ImVec2 wide = font->CalcTextSizeA(font->FontSize, FLT_MAX, 0, words.c_str());
    list.AddText(font, font->FontSize, ImVec2(at.x + (size.x - wide.x) / 2, at.y + y), ink, words.c_str());
  };
  centred(scene.fonts.heading, t.grid(12), t.text, std::string(symbol::camera) + "  Drop photos of a board here");
  centred(scene.fonts.body, t.grid(19), t.quiet, "the top first, then the bottom");
  centred(scene.fonts.small, t.grid(28), t.quiet, "or a folder that holds a board or a job");
  ImGui::Dummy(size);
  if (button(scene, "choose-files", std::string(symbol::photo) + "  Choose photos…")) ask_for(Command::choose_files);
  ImGui::SameLine();
  if (button(scene, "new-board", std::string(symbol::plus) + "  New board without photos")) page.dropped = {std::filesystem::path()}, page.focus_first = true;
  ImGui::Dummy(ImVec2(0, t.grid(2)));
  quiet(scene, "Or open a folder by its path");
  field(scene, "open-path", "path, then Enter", page.path);
  if (entered() && !page.path.empty())
    scene.intents.push(intent::OpenFolder{page.path, true});
}

}  // namespace

bool StartPageState::take_titles() {
  const auto titles = naming.take();
  if (!titles) return false;
  naming_at_work = false;
  for (const auto& [dir, title] : *titles)
    for (LibraryEntry& entry : entries)
      if (entry.dir == dir) entry.title = title;
  return true;
}

void draw_start_page(const Scene& scene, StartPageState& page, const std::filesystem::path& library, ImVec2 size) {
  const Theme& t = scene.theme;
  if (!std::exchange(page.listed, true)) page.entries = list_library(library), scene.shop.refresh();
  const float column = std::min((size.x - t.grid(30)) / 2, t.grid(130)), gap = t.grid(14);
  const float left = (size.x - 2 * column - gap) / 2, top = std::max(t.grid(12), size.y * 0.12F);
  ImGui::SetCursorPos(ImVec2(left, top));
  text(scene, scene.fonts.title, t.text, "Boardlore");
  ImGui::SetCursorPosX(left);
  text(scene, scene.fonts.body, t.quiet, "A bench notebook for people who repair circuit boards.");
  const float content = top + t.grid(22), height = size.y - content - t.grid(8);
  ImGui::SetCursorPos(ImVec2(left, content));
  ImGui::BeginChild("library", ImVec2(column, height));
  draw_list(scene, page, height - t.grid(20));
  ImGui::EndChild();
  ImGui::SetCursorPos(ImVec2(left + column + gap, content));
  ImGui::BeginChild("beginning", ImVec2(column, height));
  if (!page.job_on.empty())
    draw_new_job(scene, page, library);
  else if (!page.dropped.empty())
    draw_new_board(scene, page, library);
  else
    draw_welcome(scene, page);
  ImGui::EndChild();
}

}  // namespace boardlore
