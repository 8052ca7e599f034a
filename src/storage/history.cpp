#include "storage/history.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cstdio>

#include "storage/file_bytes.h"

namespace boardlore {
namespace {

namespace fs = std::filesystem;

fs::path history_folder(const fs::path& document_file) { return document_file.parent_path() / ".history"; }

// "000012-layer.json" -> 12 for layer.json; 0: some other file.
int number_in_name(const std::string& name, const std::string& document_name) {
  int number = 0;
  const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), number);
  if (error != std::errc{} || number <= 0) return 0;
  return std::string_view(end, static_cast<std::size_t>(name.data() + name.size() - end)) == "-" + document_name ? number : 0;
}

std::int64_t day_of(Timestamp time) { return time.ms / 86'400'000; }

}  // namespace

std::vector<KeptVersion> versions_of(const fs::path& document_file) {
  std::vector<KeptVersion> versions;
  std::error_code ignored;
  for (const auto& entry : fs::directory_iterator(history_folder(document_file), ignored)) {
    KeptVersion version;
    version.number = number_in_name(entry.path().filename().string(), document_file.filename().string());
    struct stat about {};
    if (version.number == 0 || ::stat(entry.path().c_str(), &about) != 0 || !S_ISREG(about.st_mode)) continue;
    version.saved_at.ms = static_cast<std::int64_t>(about.st_mtim.tv_sec) * 1000 + about.st_mtim.tv_nsec / 1'000'000;
    version.bytes = static_cast<std::uintmax_t>(about.st_size);
    version.path = entry.path();
    versions.push_back(std::move(version));
  }
  std::sort(versions.begin(), versions.end(), [](const KeptVersion& a, const KeptVersion& b) { return a.number < b.number; });
  return versions;
}

Result<std::string> version_text(const fs::path& document_file, int number) {
  const std::vector<KeptVersion> versions = versions_of(document_file);
  for (const KeptVersion& version : versions)
    if (version.number == number) return read_file(version.path);
  return Problem{document_file.string(), "version " + std::to_string(number),
                 versions.empty() ? std::string("a version that was kept")
                                  : "one of those kept, " + std::to_string(versions.front().number) + " to " + std::to_string(versions.back().number),
                 versions.empty() ? "none yet" : "no such version"};
}

std::vector<KeptVersion> versions_over_bound(const std::vector<KeptVersion>& versions) {
  std::vector<KeptVersion> over;
  if (versions.size() <= newest_versions_kept) return over;
  std::size_t days = 0;
  std::int64_t day = 0;
  // From the newest of the old ones backwards: the first met of a day is its last.
  for (std::size_t i = versions.size() - newest_versions_kept; i-- > 0;) {
    const std::int64_t its_day = day_of(versions[i].saved_at);
    if (days < daily_versions_kept && (days == 0 || its_day != day)) ++days, day = its_day;
    else over.push_back(versions[i]);
  }
  return over;
}

Result<Done> keep_version(const fs::path& document_file) {
  const fs::path folder = history_folder(document_file);
  if (::mkdir(folder.c_str(), 0755) != 0 && errno != EEXIST) return system_problem(folder, "a folder for earlier versions", errno);
  std::vector<KeptVersion> versions = versions_of(document_file);
  char number[16];
  std::snprintf(number, sizeof number, "%06d", versions.empty() ? 1 : versions.back().number + 1);
  const fs::path kept = folder / (std::string(number) + "-" + document_file.filename().string());
  if (::link(document_file.c_str(), kept.c_str()) != 0) {
    Result<std::string> bytes = read_file(document_file);
    if (!bytes) return bytes.problem();
    struct stat about {};
    const bool dated = ::stat(document_file.c_str(), &about) == 0;
    if (Result<Done> written = write_file_atomically(kept, *bytes); !written) return written;
    const timespec times[2] = {about.st_mtim, about.st_mtim};
    if (dated) (void)::utimensat(AT_FDCWD, kept.c_str(), times, 0);
  }
  for (const KeptVersion& gone : versions_over_bound(versions_of(document_file))) ::unlink(gone.path.c_str());
  return Done{};
}

}  // namespace boardlore
