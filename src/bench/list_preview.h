// A dropped list (placement table, netlist, points) before it is taken: how it was understood, what was not and why,
// how it lies on the board. Nothing changes until "Take it".
#pragma once

#include <filesystem>

#include "bench/scene.h"
#include "import/import_plan.h"

namespace boardlore {

struct ListPreview {
  std::filesystem::path file;
  std::vector<std::string> lines;    // what was understood
  std::vector<std::string> refused;  // "line 5: no number in X"
  std::string trouble;               // why it cannot be taken; empty: it can
  ImportPlan plan;
};
// By its ending; photos and folders are not lists.
bool looks_like_list(const std::filesystem::path& file);
// Reads the file: for a task, not a frame.
ListPreview preview_list(const std::filesystem::path& file, const Layer& layer, const NewId& new_id, Timestamp now);

enum class PreviewAnswer { none, take, drop };
PreviewAnswer draw_list_preview(const Scene& scene, const ListPreview& preview, ImVec2 window);

}  // namespace boardlore
