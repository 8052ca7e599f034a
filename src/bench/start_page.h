// The page with nothing open: boards and jobs, a new board from dropped photos, a new job.
#pragma once

#include "bench/library.h"
#include "bench/scene.h"
#include "bench/tasks.h"

namespace boardlore {

struct StartPageState {
  std::vector<LibraryEntry> entries;
  bool listed = false;
  std::string filter;
  // A new board.
  std::vector<std::filesystem::path> dropped;
  std::string maker, model, revision, width, height;
  // A new job.
  std::filesystem::path job_on;
  std::string reported, serial, owner;
  std::string path;
  bool focus_first = false;
  // What the rows in view call themselves, read beside the frame.
  Task<std::vector<std::pair<std::filesystem::path, std::string>>> naming;
  bool naming_at_work = false;

  // Once a frame: takes in what was read. True: something new is there to draw.
  bool take_titles();
};

void draw_start_page(const Scene& scene, StartPageState& page, const std::filesystem::path& library, ImVec2 size);

}  // namespace boardlore
