#include "bench/given_files.h"

#include "bench/drag_out.h"
#include "bench/scene.h"
#include "bench/widgets.h"

namespace boardlore {
namespace {

std::vector<std::filesystem::path> those_there(std::vector<std::filesystem::path> files) {
  std::error_code error;
  std::erase_if(files, [&](const auto& file) { return !std::filesystem::is_regular_file(file, error); });
  return files;
}

}  // namespace

GivenFiles given_files_in(const std::filesystem::path& dir) {
  GivenFiles found{those_there({dir / "record.pdf", dir / "record.html"}), those_there({dir / "record-shop.pdf", dir / "record-shop.html"}), those_there({dir / "shared" / "layer.json"})};
  // The bundle is called after the board.
  std::error_code error;
  std::vector<std::filesystem::path> bundles;
  for (std::filesystem::directory_iterator entry(dir / "shared", error), end; !error && entry != end; entry.increment(error))
    if (entry->path().extension() == ".zip") bundles.push_back(entry->path());
  std::sort(bundles.begin(), bundles.end());
  for (auto& bundle : those_there(std::move(bundles))) found.exported.push_back(std::move(bundle));
  return found;
}

bool GivenFilesWatch::begin_frame(const DeskView& desk) {
  bool changed = false;
  if (auto found = looking_.take()) files_ = std::move(*found), at_work_ = false, changed = true;
  if (desk.dir != of_dir_) files_ = GivenFiles{}, of_dir_ = desk.dir, stale_ = true, changed = true;
  if (!desk.open || (desk.version == of_version_ && (at_work_ || !stale_))) return changed;
  of_version_ = desk.version;
  stale_ = false, at_work_ = true;
  looking_ = Task<GivenFiles>::start([dir = desk.dir](const TaskReins&) { return given_files_in(dir); });
  return changed;
}

void draw_given_files(const Scene& scene, const char* name, const char* caption, const std::vector<std::filesystem::path>& files) {
  if (files.empty()) return;
  const Theme& t = scene.theme;
  quiet(scene, caption);
  const auto row = [&](const std::string& id, const std::string& words, const std::vector<std::filesystem::path>& given, bool first) {
    const float width = ImGui::CalcTextSize(words.c_str()).x + 2 * ImGui::GetStyle().FramePadding.x;
    if (!first) ImGui::SameLine();
    if (!first && ImGui::GetContentRegionAvail().x < width) ImGui::NewLine();
    if (button(scene, id.c_str(), words)) scene.intents.push(intent::CopyFiles{given});
    if (scene.drag_out.pulled(t.grid(3))) scene.drag_out.begin(given, false);
    tooltip(scene, "Pull it into another program, or click to copy: " + spoken_files(given));
  };
  for (std::size_t i = 0; i < files.size(); ++i) row(std::string(name) + "-" + std::to_string(i), files[i].filename().string(), {files[i]}, i == 0);
  if (files.size() > 1) row(std::string(name) + "-all", "All", files, false);
}

}  // namespace boardlore
