#include "storage/folder_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <thread>
#include <utility>

#include "storage/file_bytes.h"

namespace boardlore {
namespace {

// 0: locked; EWOULDBLOCK: held by another for all of `patience`; else why it cannot be locked.
int lock_patiently(int descriptor, std::chrono::milliseconds patience) {
  const auto until = std::chrono::steady_clock::now() + patience;
  for (auto pause = std::chrono::microseconds(200);;) {
    if (::flock(descriptor, LOCK_EX | LOCK_NB) == 0) return 0;
    if (errno == EINTR) continue;
    if (errno != EWOULDBLOCK) return errno;
    if (std::chrono::steady_clock::now() > until) return EWOULDBLOCK;
    std::this_thread::sleep_for(pause);
    if (pause < std::chrono::milliseconds(10)) pause *= 2;
  }
}

bool not_lockable(int error) {
  return error == EBADF || error == ENOLCK || error == EOPNOTSUPP || error == EINVAL || error == ENOSYS;
}

}  // namespace

Result<FolderLock> FolderLock::take(const std::filesystem::path& dir, std::chrono::milliseconds patience) {
  const std::filesystem::path folder = dir.empty() ? std::filesystem::path(".") : dir;
  FolderLock lock(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  if (lock.descriptor_ < 0) return system_problem(dir, "a folder that can be reached", errno);
  int error = lock_patiently(lock.descriptor_, patience);
  if (not_lockable(error)) {
    const int file = ::open((folder / ".saving").c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0644);
    if (file < 0) return lock;
    ::close(std::exchange(lock.descriptor_, file));
    error = lock_patiently(file, patience);
    if (not_lockable(error)) return lock;
  }
  if (error == EWOULDBLOCK)
    return Problem{dir.string(), "", "a moment in which nobody else saves here", "another program has been saving for " +
                   std::to_string(patience.count() / 1000) + " s", Outcome::system_failed};
  if (error != 0) return system_problem(dir, "a folder that can be locked for a moment", error);
  return lock;
}

FolderLock::FolderLock(FolderLock&& other) noexcept : descriptor_(std::exchange(other.descriptor_, -1)) {}
FolderLock::~FolderLock() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

}  // namespace boardlore
