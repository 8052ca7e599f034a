#include "storage/file_bytes.h"

#include <fcntl.h>
#include <openssl/evp.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>

namespace boardlore {
namespace {

struct Descriptor {
  int number = -1;
  explicit Descriptor(int opened) : number(opened) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() {
    if (number >= 0) ::close(number);
  }
  // Errors of close matter where data was written.
  bool close_now() {
    const int closing = number;
    number = -1;
    return ::close(closing) == 0;
  }
};

}  // namespace

Problem system_problem(const std::filesystem::path& path, std::string_view what, int error) {
  return Problem{path.string(), "", std::string(what), std::strerror(error), Outcome::system_failed};
}

Result<std::string> read_file(const std::filesystem::path& path, std::size_t limit) {
  const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (file.number < 0) {
    Problem problem = system_problem(path, "a file that can be read", errno);
    if (errno == ENOENT || errno == ENOTDIR || errno == EISDIR) problem.outcome = Outcome::bad_input;
    return problem;
  }
  struct stat about {};
  if (::fstat(file.number, &about) != 0) return system_problem(path, "a file that can be read", errno);
  if (!S_ISREG(about.st_mode)) return Problem{path.string(), "", "a regular file", S_ISDIR(about.st_mode) ? "a folder" : "something else"};
  const auto size = static_cast<std::size_t>(about.st_size);
  if (size > limit) return Problem{path.string(), "", "at most " + spoken_size(limit), spoken_size(size)};
  std::string bytes(size, '\0');
  std::size_t done = 0;
  while (done < size) {
    const ssize_t n = ::read(file.number, bytes.data() + done, size - done);
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) return system_problem(path, "a file that can be read", errno);
    if (n == 0) break;  // shortened while being read: what is there is judged by its reader
    done += static_cast<std::size_t>(n);
  }
  bytes.resize(done);
  return bytes;
}

Result<Done> write_file_atomically(const std::filesystem::path& path, std::string_view bytes) {
  const std::filesystem::path folder = path.has_parent_path() ? path.parent_path() : std::filesystem::path(".");
  // The process id keeps two writers apart; a left-over of a crash is simply written over next time.
  const std::filesystem::path temporary = folder / ("." + path.filename().string() + "." + std::to_string(::getpid()) + ".new");
  const auto fail = [&](std::string_view what, int error) -> Result<Done> {
    ::unlink(temporary.c_str());
    return system_problem(path, what, error);
  };
  Descriptor file(::open(temporary.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0644));
  if (file.number < 0) return system_problem(path, "a folder that can be written to", errno);
  std::size_t done = 0;
  while (done < bytes.size()) {
    const ssize_t n = ::write(file.number, bytes.data() + done, bytes.size() - done);
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) return fail("room for " + spoken_size(bytes.size()), errno);
    done += static_cast<std::size_t>(n);
  }
  if (::fsync(file.number) != 0) return fail("a disk that takes the bytes", errno);
  if (!file.close_now()) return fail("a disk that takes the bytes", errno);
  if (::rename(temporary.c_str(), path.c_str()) != 0) return fail("a file that can be replaced", errno);
  return flush_folder(folder);
}

Result<Done> flush_folder(const std::filesystem::path& folder) {
  const Descriptor directory(::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  if (directory.number < 0) return system_problem(folder, "a folder that can be read", errno);
  if (::fsync(directory.number) != 0 && errno != EINVAL && errno != EOPNOTSUPP && errno != EBADF && errno != EROFS)
    return system_problem(folder, "a disk that takes the bytes", errno);
  return Done{};
}

std::string sha256_hex(std::string_view bytes) {
  unsigned char digest[EVP_MAX_MD_SIZE];
  unsigned int length = 0;
  EVP_Digest(bytes.data(), bytes.size(), digest, &length, EVP_sha256(), nullptr);
  std::string text;
  static constexpr char hex[] = "0123456789abcdef";
  for (unsigned int i = 0; i < length; ++i) {
    text += hex[digest[i] >> 4U];
    text += hex[digest[i] & 15U];
  }
  return text;
}

std::string spoken_size(std::size_t bytes) {
  char text[32];
  if (bytes < 10'000) std::snprintf(text, sizeof text, "%zu bytes", bytes);
  else if (bytes < 10'000'000) std::snprintf(text, sizeof text, "%.0f kB", double(bytes) / 1e3);
  else std::snprintf(text, sizeof text, "%.0f MB", double(bytes) / 1e6);
  return text;
}

}  // namespace boardlore
