// Preloaded into a program: counts its system calls on files below one folder and, at the n-th, kills the program, lets
// the call fail, or writes half. Beside that it notes what was flushed to disk, so that a test can put back what a power
// cut would have left.
//
//   FAULT_ROOT    calls on paths below it count (and on descriptors opened there)
//   FAULT_KIND    KILL, HALF (a write is done by half, then killed), EIO, ENOSPC, EROFS; empty: only counts
//   FAULT_AT      the call that is struck, from 1; FAULT_ON: 1: and all that follow
//   FAULT_COUNT   file: how many calls could have been struck
//   FAULT_SHADOW  folder: data.<inode> as last flushed, dir.<inode> names as last flushed, born.<inode> made in this run
#include <dirent.h>
#include <dlfcn.h>
#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstdarg>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string>

namespace {

template <class F>
F real(const char* name) {
  return reinterpret_cast<F>(::dlsym(RTLD_NEXT, name));
}

const char* setting(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? "" : value;
}

enum Call { open_read, open_write, make, read_bytes, write_bytes, flush, change_name, take_away, cut, close_it, look, lock };

const std::string& root() {
  static const std::string value = setting("FAULT_ROOT");
  return value;
}
const std::string& kind() {
  static const std::string value = setting("FAULT_KIND");
  return value;
}

bool below_root(const char* path) { return !root().empty() && path != nullptr && std::strncmp(path, root().c_str(), root().size()) == 0; }

bool tracked[4096];
bool busy = false;  // our own calls do not count
long count = 0;

int error_of(const std::string& name) { return name == "EIO" ? EIO : name == "ENOSPC" ? ENOSPC : name == "EROFS" ? EROFS : 0; }

// A full disk fails what needs room, a read-only one what changes anything, a broken one all.
bool can_strike(Call call) {
  if (kind() == "KILL") return true;
  if (kind() == "HALF") return call == write_bytes;
  if (kind() == "EIO") return call != look && call != lock;
  if (kind() == "ENOSPC") return call == make || call == write_bytes || call == flush || call == change_name || call == close_it;
  if (kind() == "EROFS") return call == open_write || call == make || call == change_name || call == take_away || call == cut;
  return true;
}

void note_count() {
  const char* file = setting("FAULT_COUNT");
  if (*file == 0) return;
  static const auto open_it = real<int (*)(const char*, int, ...)>("open");
  static const auto write_it = real<ssize_t (*)(int, const void*, size_t)>("write");
  static const auto close_file = real<int (*)(int)>("close");
  static const int descriptor = open_it(file, O_WRONLY | O_CREAT | O_CLOEXEC, 0644);
  static_cast<void>(close_file);
  const std::string text = std::to_string(count) + "\n";
  if (descriptor >= 0) {
    ::lseek(descriptor, 0, SEEK_SET);
    (void)!write_it(descriptor, text.c_str(), text.size());
  }
}

// 0: go on; else the errno the call fails with. May not return.
int strike(Call call) {
  if (busy || !can_strike(call)) return 0;
  ++count;
  busy = true;
  note_count();
  busy = false;
  static const long at = std::atol(setting("FAULT_AT"));
  static const bool and_on = *setting("FAULT_ON") == '1';
  if (at == 0 || (and_on ? count < at : count != at)) return 0;
  if (kind() == "KILL") ::raise(SIGKILL);
  return error_of(kind());
}

bool is_struck_half() {
  static const long at = std::atol(setting("FAULT_AT"));
  return kind() == "HALF" && count == at;
}

// What the disk surely holds.
std::string shadow(const char* what, ino_t inode) { return std::string(setting("FAULT_SHADOW")) + "/" + what + "." + std::to_string(inode); }
bool shadowed() { return *setting("FAULT_SHADOW") != 0; }

void put_file(const std::string& path, const std::string& bytes) {
  static const auto open_it = real<int (*)(const char*, int, ...)>("open");
  static const auto write_it = real<ssize_t (*)(int, const void*, size_t)>("write");
  static const auto close_file = real<int (*)(int)>("close");
  const int descriptor = open_it(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0644);
  if (descriptor < 0) return;
  (void)!write_it(descriptor, bytes.data(), bytes.size());
  close_file(descriptor);
}

void note_born(const char* path) {
  struct stat about {};
  if (!shadowed() || ::lstat(path, &about) != 0) return;
  ::unlink(shadow("data", about.st_ino).c_str());
  ::unlink(shadow("dir", about.st_ino).c_str());
  put_file(shadow("born", about.st_ino), "");
}

void note_flushed(int descriptor) {
  struct stat about {};
  if (!shadowed() || ::fstat(descriptor, &about) != 0) return;
  const std::string self = "/proc/self/fd/" + std::to_string(descriptor);
  if (S_ISREG(about.st_mode)) {
    static const auto open_it = real<int (*)(const char*, int, ...)>("open");
    static const auto read_it = real<ssize_t (*)(int, void*, size_t)>("read");
    static const auto close_file = real<int (*)(int)>("close");
    std::string bytes(static_cast<std::size_t>(about.st_size), '\0');
    // Anew, as the descriptor may be for writing only.
    const int again = open_it(self.c_str(), O_RDONLY | O_CLOEXEC);
    if (again < 0) return;
    const ssize_t n = read_it(again, bytes.data(), bytes.size());
    close_file(again);
    if (n >= 0) put_file(shadow("data", about.st_ino), bytes.substr(0, static_cast<std::size_t>(n)));
  } else if (S_ISDIR(about.st_mode)) {
    std::string names;
    if (DIR* folder = ::opendir(self.c_str())) {
      while (const dirent* entry = ::readdir(folder)) {
        const std::string name = entry->d_name;
        if (name != "." && name != "..") names += std::to_string(entry->d_ino) + (entry->d_type == DT_DIR ? " d " : " f ") + name + "\n";
      }
      ::closedir(folder);
    }
    put_file(shadow("dir", about.st_ino), names);
  }
}

struct Ours {
  bool before = busy;
  Ours() { busy = true; }
  ~Ours() { busy = before; }
};

int opened(int descriptor) {
  if (descriptor >= 0 && descriptor < 4096) tracked[descriptor] = true;
  return descriptor;
}
bool is_tracked(int descriptor) { return descriptor >= 0 && descriptor < 4096 && tracked[descriptor]; }

int fail(int error) {
  errno = error;
  return -1;
}

}  // namespace

extern "C" {

int open(const char* path, int flags, ...) {
  static const auto next = real<int (*)(const char*, int, ...)>("open");
  va_list rest;
  va_start(rest, flags);
  const mode_t mode = (flags & O_CREAT) != 0 ? va_arg(rest, mode_t) : 0;
  va_end(rest);
  if (busy || !below_root(path)) return next(path, flags, mode);
  struct stat about {};
  bool fresh = false;
  {
    const Ours ours;
    fresh = (flags & O_CREAT) != 0 && ::lstat(path, &about) != 0;
  }
  if (const int error = strike(fresh ? make : (flags & O_ACCMODE) != O_RDONLY ? open_write : open_read)) return fail(error);
  const int descriptor = opened(next(path, flags, mode));
  if (descriptor >= 0 && fresh) {
    const Ours ours;
    note_born(path);
  }
  return descriptor;
}
int open64(const char* path, int flags, ...) {
  va_list rest;
  va_start(rest, flags);
  const mode_t mode = (flags & O_CREAT) != 0 ? va_arg(rest, mode_t) : 0;
  va_end(rest);
  return open(path, flags, mode);
}
int close(int descriptor) {
  static const auto next = real<int (*)(int)>("close");
  if (!busy && is_tracked(descriptor)) {
    tracked[descriptor] = false;
    if (const int error = strike(close_it)) {
      next(descriptor);  // closed all the same, as close(2) has it
      return fail(error);
    }
  }
  return next(descriptor);
}
ssize_t read(int descriptor, void* to, size_t size) {
  static const auto next = real<ssize_t (*)(int, void*, size_t)>("read");
  if (!busy && is_tracked(descriptor))
    if (const int error = strike(read_bytes)) return fail(error);
  return next(descriptor, to, size);
}
ssize_t write(int descriptor, const void* from, size_t size) {
  static const auto next = real<ssize_t (*)(int, const void*, size_t)>("write");
  if (!busy && is_tracked(descriptor)) {
    const int error = strike(write_bytes);
    if (is_struck_half()) {
      (void)!next(descriptor, from, size / 2);
      ::raise(SIGKILL);
    }
    if (error == ENOSPC) {
      // A full disk takes what still fits first.
      if (size > 1 && next(descriptor, from, size / 2) > 0) return fail(error);
    }
    if (error != 0) return fail(error);
  }
  return next(descriptor, from, size);
}
int fsync(int descriptor) {
  static const auto next = real<int (*)(int)>("fsync");
  if (!busy && is_tracked(descriptor)) {
    if (const int error = strike(flush)) return fail(error);
    const Ours ours;
    note_flushed(descriptor);
    return 0;  // the real one only costs time here
  }
  return next(descriptor);
}
int fdatasync(int descriptor) {
  static const auto next = real<int (*)(int)>("fdatasync");
  if (busy || !is_tracked(descriptor)) return next(descriptor);
  return fsync(descriptor);
}
int rename(const char* from, const char* to) {
  static const auto next = real<int (*)(const char*, const char*)>("rename");
  if (!busy && below_root(to))
    if (const int error = strike(change_name)) return fail(error);
  return next(from, to);
}
int link(const char* from, const char* to) {
  static const auto next = real<int (*)(const char*, const char*)>("link");
  if (!busy && below_root(to))
    if (const int error = strike(change_name)) return fail(error);
  return next(from, to);
}
int unlink(const char* path) {
  static const auto next = real<int (*)(const char*)>("unlink");
  if (!busy && below_root(path))
    if (const int error = strike(take_away)) return fail(error);
  return next(path);
}
int remove(const char* path) {
  static const auto next = real<int (*)(const char*)>("remove");
  if (!busy && below_root(path))
    if (const int error = strike(take_away)) return fail(error);
  return next(path);
}
int mkdir(const char* path, mode_t mode) {
  static const auto next = real<int (*)(const char*, mode_t)>("mkdir");
  if (busy || !below_root(path)) return next(path, mode);
  if (const int error = strike(make)) return fail(error);
  const int made = next(path, mode);
  const int kept = errno;
  if (made == 0) {
    const Ours ours;
    note_born(path);
  }
  errno = kept;
  return made;
}
int ftruncate(int descriptor, off_t length) {
  static const auto next = real<int (*)(int, off_t)>("ftruncate");
  if (!busy && is_tracked(descriptor))
    if (const int error = strike(cut)) return fail(error);
  return next(descriptor, length);
}
int flock(int descriptor, int operation) {
  static const auto next = real<int (*)(int, int)>("flock");
  if (!busy && is_tracked(descriptor)) strike(lock);
  return next(descriptor, operation);
}
int access(const char* path, int mode) {
  static const auto next = real<int (*)(const char*, int)>("access");
  if (!busy && below_root(path)) strike(look);
  return next(path, mode);
}

}  // extern "C"
