// One at a time between looking at a document and replacing it.
//
// Comparing a file and then renaming over it is two steps; of two programs that save in the same moment one
// would overwrite the other. The lock is flock(2) on the folder itself: nothing is written, and the kernel
// drops it with the process, so a crash leaves nothing locked. Network file systems that lock no folder
// (NFS asks for a descriptor open for writing) get a file `.saving` in it to lock instead; where even that
// is refused, saving goes on with the comparison alone.
#pragma once

#include <chrono>
#include <filesystem>

#include "domain/problem.h"

namespace boardlore {

class FolderLock {
 public:
  // A save holds it for milliseconds; one that is held longer than `patience` is a stuck program: a Problem.
  static Result<FolderLock> take(const std::filesystem::path& dir, std::chrono::milliseconds patience = std::chrono::seconds(10));
  FolderLock(FolderLock&& other) noexcept;
  FolderLock& operator=(FolderLock&&) = delete;
  ~FolderLock();

 private:
  explicit FolderLock(int descriptor) : descriptor_(descriptor) {}
  int descriptor_ = -1;
};

}  // namespace boardlore
