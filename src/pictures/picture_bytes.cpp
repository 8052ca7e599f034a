#include "pictures/picture_bytes.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>

#include "pictures/picture_limits.h"

namespace boardlore {
namespace {

// Closes on every way out.
struct Descriptor {
  int fd = -1;
  ~Descriptor() {
    if (fd >= 0) ::close(fd);
  }
};

Problem system_problem(const std::filesystem::path& path, const char* expected) {
  const int error = errno;
  return {path.string(), "", expected, std::strerror(error), error == ENOENT ? Outcome::bad_input : Outcome::system_failed};
}

}  // namespace

Result<std::vector<std::byte>> read_picture_bytes(const std::filesystem::path& path) {
  // O_NONBLOCK: opening a pipe that nobody writes to must not hang; it is refused just below.
  const Descriptor file{::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK)};
  if (file.fd < 0) return system_problem(path, "a picture file that can be read");
  struct stat status {};
  if (::fstat(file.fd, &status) != 0) return system_problem(path, "a picture file that can be read");
  if (!S_ISREG(status.st_mode)) return Problem{path.string(), "", "a picture file", "a folder or device"};
  const auto size = static_cast<std::uint64_t>(status.st_size);
  if (size == 0) return Problem{path.string(), "byte 0", "a picture", "an empty file"};
  if (size > kMaxPictureFileBytes)
    return Problem{path.string(), "file size", "at most " + std::to_string(kMaxPictureFileBytes >> 20) + " MiB",
                   std::to_string(size >> 20) + " MiB"};
  std::vector<std::byte> bytes(size);
  std::size_t got = 0;
  while (got < bytes.size()) {
    const ssize_t count = ::read(file.fd, bytes.data() + got, bytes.size() - got);
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return system_problem(path, "a picture file that can be read to its end");
    if (count == 0) break;  // it became shorter meanwhile: the decoder will say so
    got += static_cast<std::size_t>(count);
  }
  bytes.resize(got);
  return bytes;
}

Result<Done> write_picture_bytes(const std::filesystem::path& path, std::string_view bytes) {
  std::string temporary = path.string() + ".XXXXXX";
  Descriptor file{::mkstemp(temporary.data())};
  if (file.fd < 0) return system_problem(path, "a folder that can be written to");
  const auto give_up = [&](const char* expected) {
    const Problem problem = system_problem(path, expected);
    ::unlink(temporary.c_str());
    return Problem{problem.file, problem.where, problem.expected, problem.found, Outcome::system_failed};
  };
  std::size_t put = 0;
  while (put < bytes.size()) {
    const ssize_t count = ::write(file.fd, bytes.data() + put, bytes.size() - put);
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return give_up("room to write the picture");
    put += static_cast<std::size_t>(count);
  }
  // mkstemp makes it private to its owner; a shop shares its folders, so take what others' files get.
  const mode_t mask = ::umask(0);
  ::umask(mask);
  if (::fchmod(file.fd, 0666 & ~mask) != 0) return give_up("a file whose permissions can be set");
  if (::fsync(file.fd) != 0) return give_up("a disk that takes the picture");
  if (::rename(temporary.c_str(), path.c_str()) != 0) return give_up("a place the picture can be moved to");
  const std::filesystem::path folder = path.has_parent_path() ? path.parent_path() : std::filesystem::path(".");
  const Descriptor directory{::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)};
  if (directory.fd >= 0) ::fsync(directory.fd);  // some file systems cannot; the rename itself is done
  return Done{};
}

}  // namespace boardlore
