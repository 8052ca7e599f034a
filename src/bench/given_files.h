// The files of the open folder that were made to be given away - the job's record, what an export wrote - in rows to pull or copy
// them from.
#pragma once

#include <filesystem>
#include <vector>

#include "bench/desk.h"
#include "bench/tasks.h"

namespace boardlore {

struct Scene;

struct GivenFiles {
  std::vector<std::filesystem::path> owner, shop;  // the record, PDF and page
  std::vector<std::filesystem::path> exported;     // layer.json and the bundle
};
// Those that are there. Looks at the disk: beside the frame.
GivenFiles given_files_in(const std::filesystem::path& dir);

class GivenFilesWatch {
 public:
  // Once a frame. True: other files than before. Looks again after each change of the document and when `look_again` was called.
  bool begin_frame(const DeskView& desk);
  void look_again() { stale_ = true; }
  bool working() const { return looking_.running() || at_work_; }
  const GivenFiles& files() const { return files_; }

 private:
  GivenFiles files_;
  std::filesystem::path of_dir_;
  std::uint64_t of_version_ = 0;
  bool stale_ = true, at_work_ = false;
  Task<GivenFiles> looking_;
};

// A caption and a button for each file, and one for all where there are several: pulled it is dragged out, clicked it is copied.
// Nothing where there are none. `name`: the buttons are called name-0, name-1, ... and name-all.
void draw_given_files(const Scene& scene, const char* name, const char* caption, const std::vector<std::filesystem::path>& files);

}  // namespace boardlore
