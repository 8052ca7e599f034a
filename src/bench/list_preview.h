// A dropped list (placement table, netlist, points) before it is taken: how it was understood, what was not and why,
// how it lies on the board. Nothing changes until "Take it".
#pragma once

#include <filesystem>

#include "bench/bench_state.h"
#include "bench/scene.h"
#include "import/read_list.h"

namespace boardlore {

struct ListedPlace {
  std::string refdes;
  ImportPoint at;
  std::optional<Side> side;  // nullopt: seen from both, or not said
};

// Where the tie puts one.
struct TiedPlace {
  std::string refdes;
  BoardPoint at;
  std::optional<Side> side;
};

struct ListPreview {
  std::filesystem::path file;
  ListOptions options;               // what a person said over what the list says
  std::vector<ListedPlace> places;   // of the list's parts, in its own frame; empty: nothing to tie
  std::vector<TiedPlace> on_board;   // where the tie puts them; empty: not tied
  std::vector<std::string> lines;    // what was understood
  std::vector<std::string> refused;  // "line 5: no number in X"
  std::string trouble;               // why it cannot be taken; empty: it can
  ImportPlan plan;
};
// By its ending; photos and folders are not lists.
bool looks_like_list(const std::filesystem::path& file);
// Reads the file: for a task, not a frame.
ListPreview preview_list(const std::filesystem::path& file, const Layer& layer, const NewId& new_id, Timestamp now, ListOptions options = {});

// again: the options were changed, the list is to be read anew with them.
enum class PreviewAnswer { none, take, drop, again };
PreviewAnswer draw_list_preview(const Scene& scene, BenchState& state, ListPreview& preview, ImVec2 window);

}  // namespace boardlore
