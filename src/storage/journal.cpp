#include "storage/journal.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <utility>

#include "storage/file_bytes.h"
#include "storage/merge.h"

namespace boardlore {
namespace {

// CRC-32 as in ISO 3309 / RFC 1952 section 8, reflected, polynomial 0xEDB88320.
std::uint32_t crc32(std::string_view bytes) {
  static const auto table = [] {
    std::array<std::uint32_t, 256> made{};
    for (std::uint32_t n = 0; n < 256; ++n) {
      std::uint32_t c = n;
      for (int k = 0; k < 8; ++k) c = (c & 1U) != 0 ? 0xEDB88320U ^ (c >> 1U) : c >> 1U;
      made[n] = c;
    }
    return made;
  }();
  std::uint32_t crc = 0xFFFFFFFFU;
  for (const char c : bytes) crc = table[(crc ^ static_cast<unsigned char>(c)) & 0xFFU] ^ (crc >> 8U);
  return crc ^ 0xFFFFFFFFU;
}

std::string checksum_text(std::string_view bytes) {
  char text[16];
  std::snprintf(text, sizeof text, "%08x", crc32(bytes));
  return text;
}

std::string journal_prefix(const std::filesystem::path& document_file) { return "." + document_file.filename().string() + "."; }
constexpr std::string_view journal_suffix = ".journal";

}  // namespace

Journal::Journal(std::filesystem::path document_file, std::string based_on)
    : document_file_(std::move(document_file)), based_on_(std::move(based_on)) {
  // The true time, whatever the run's clock says: journals are replayed in the order they were begun.
  const auto us = std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::system_clock::now().time_since_epoch());
  path_ = document_file_.parent_path() / (journal_prefix(document_file_) + std::to_string(us.count()) + "-" +
                                          std::to_string(::getpid()) + std::string(journal_suffix));
}

Journal::Journal(const Journal& beside, const std::filesystem::path& local_folder)
    : document_file_(beside.document_file_), path_(local_folder / beside.path_.filename()), local_(true), based_on_(beside.based_on_) {}

std::filesystem::path local_journal_folder(const std::filesystem::path& document_file) {
  std::filesystem::path state;
  if (const char* named = std::getenv("XDG_STATE_HOME"); named != nullptr && named[0] == '/') state = named;
  else if (const char* home = std::getenv("HOME"); home != nullptr && home[0] == '/') state = std::filesystem::path(home) / ".local/state";
  if (state.empty()) return {};
  std::error_code ignored;
  const std::filesystem::path whole = std::filesystem::absolute(document_file, ignored).lexically_normal();
  return state / "boardlore/away" / sha256_hex(whole.string()).substr(0, 32);
}

// Creates and locks the file. Between the two another process may take the empty file for an orphan and
// remove it; then it is made anew.
Result<Done> Journal::start() {
  // An empty mount point is not the share that was mounted there: without the document it is the wrong folder.
  if (!local_ && ::access(document_file_.c_str(), F_OK) != 0) return system_problem(document_file_, "the document in its folder", errno);
  if (local_) {
    std::error_code error;
    std::filesystem::create_directories(path_.parent_path(), error);
    if (error) return system_problem(path_.parent_path(), "a folder that can be made", error.value());
  }
  for (int tries = 0; tries < 10; ++tries) {
    file_ = ::open(path_.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0644);
    if (file_ < 0) return system_problem(path_, "a folder that can be written to", errno);
    (void)::flock(file_, LOCK_EX);
    struct stat about {};
    if (::fstat(file_, &about) == 0 && about.st_nlink > 0) break;
    ::close(file_);
    file_ = -1;
  }
  if (file_ < 0) return Problem{path_.string(), "", "a journal that stays", "it was removed", Outcome::system_failed};
  length_ = 0;
  torn_ = false;
  // A journal whose name is not on the disk is gone after a power cut, whatever was flushed into it.
  if (Result<Done> named = flush_folder(path_.parent_path()); !named) {
    ::unlink(path_.c_str());
    ::close(std::exchange(file_, -1));
    return named;
  }
  return Done{};
}

Journal::~Journal() {
  // Closed, not removed: unsaved edits are for the next opening to find.
  if (file_ >= 0) ::close(file_);
}

Result<Done> Journal::append(const Snapshot& before, const Snapshot& after, std::string_view name) {
  if (file_ < 0)
    if (Result<Done> started = start(); !started) return started;
  // Behind half a line nothing would be believed.
  if (torn_ && ::ftruncate(file_, static_cast<off_t>(length_)) != 0) return system_problem(path_, "a journal that can be written to", errno);
  torn_ = false;
  const std::string entry = journal_entry(before, after, name, based_on_);
  const std::string line = checksum_text(entry) + " " + entry + "\n";
  std::size_t done = 0;
  int error = 0;
  while (done < line.size() && error == 0) {
    const ssize_t n = ::write(file_, line.data() + done, line.size() - done);
    if (n < 0 && errno != EINTR) error = errno;
    if (n > 0) done += static_cast<std::size_t>(n);
  }
  if (error == 0 && ::fdatasync(file_) != 0) error = errno;
  // The folder was deleted under us: what is written here nobody will find.
  struct stat about {};
  if (error == 0 && ::fstat(file_, &about) == 0 && about.st_nlink == 0) error = ENOENT;
  if (error != 0) {
    torn_ = ::ftruncate(file_, static_cast<off_t>(length_)) != 0;
    return system_problem(path_, "room for the edit in the journal", error);
  }
  length_ += static_cast<long long>(line.size());
  return Done{};
}

void Journal::restart(std::string based_on) {
  based_on_ = std::move(based_on);
  if (file_ < 0) return;
  // Removed while still locked: nobody can take it for an orphan in between.
  ::unlink(path_.c_str());
  ::close(file_);
  file_ = -1;
  length_ = 0;
}

namespace {

// The lines up to the first damaged one: behind it nothing is believed, later edits may build on it.
std::vector<std::string_view> whole_entries(std::string_view rest, std::size_t& lost) {
  std::vector<std::string_view> entries;
  bool whole = true;
  while (!rest.empty()) {
    const std::size_t end = rest.find('\n');
    const std::string_view line = rest.substr(0, end);
    rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end + 1);
    whole = whole && end != std::string_view::npos && line.size() > 9 && line[8] == ' ' &&
            checksum_text(line.substr(9)) == line.substr(0, 8);
    if (whole) entries.push_back(line.substr(9));
    else ++lost;
  }
  return entries;
}

// `sha256`: of the document that `now` was read from; empty: `now` is something else.
Result<Snapshot> merged_with(const Snapshot& now, const std::vector<std::string_view>& entries, const std::string& sha256,
                             std::size_t& disputes) {
  Result<Snapshot> ours = apply_journal_entries(now, entries, JournalWay::forward);
  const bool on_its_base = !sha256.empty() && std::all_of(entries.begin(), entries.end(), [&](std::string_view entry) {
    return entry.find("\"base\":\"" + sha256 + "\"") != std::string_view::npos;
  });
  if (!ours || on_its_base) return ours;
  Result<Snapshot> base = apply_journal_entries(*ours, entries, JournalWay::backward);
  if (!base) return base;
  Result<Merged> merged = merge_snapshots(*base, *ours, now);
  if (!merged) return merged.problem();
  disputes = merged->disputes;
  return merged->snapshot;
}

void lay_over(const Snapshot& now, std::vector<std::string_view> entries, const std::string& sha256, Recovered& one) {
  // A line with a good checksum that does not fit was not written by this program: what came before it counts.
  while (!entries.empty()) {
    if (Result<Snapshot> next = merged_with(now, entries, sha256, one.disputes)) {
      one.snapshot = *std::move(next);
      one.edits = entries.size();
      return;
    }
    entries.pop_back();
    ++one.lost;
  }
}

}  // namespace

std::vector<Recovered> replay_journals(const std::filesystem::path& document_file, const Snapshot& snapshot,
                                       const std::string& sha256) {
  std::vector<std::filesystem::path> journals;
  std::error_code ignored;
  const std::string prefix = journal_prefix(document_file);
  const auto gather = [&](const std::filesystem::path& folder) {
    for (const auto& entry : std::filesystem::directory_iterator(folder, ignored)) {
      const std::string name = entry.path().filename().string();
      if (name.starts_with(prefix) && name.ends_with(journal_suffix)) journals.push_back(entry.path());
    }
  };
  gather(document_file.has_parent_path() ? document_file.parent_path() : std::filesystem::path("."));
  const std::filesystem::path local = local_journal_folder(document_file);
  if (!local.empty()) gather(local);
  // Names rise with time. One kept on this machine holds all of the one of its name beside the document.
  std::sort(journals.begin(), journals.end(), [&](const auto& a, const auto& b) {
    return a.filename() != b.filename() ? a.filename() < b.filename() : (a.parent_path() == local) > (b.parent_path() == local);
  });

  std::vector<Recovered> recovered;
  Snapshot now = snapshot;
  for (const auto& path : journals) {
    const int file = ::open(path.c_str(), O_RDWR | O_CLOEXEC);
    if (file < 0) continue;
    if (::flock(file, LOCK_EX | LOCK_NB) != 0) {  // its owner lives
      ::close(file);
      continue;
    }
    Recovered one{path, now, 0, 0, 0};
    const bool passed_over = !recovered.empty() && recovered.back().path.filename() == path.filename();
    const Result<std::string> bytes = passed_over ? Result<std::string>(std::string{}) : read_file(path);
    const std::vector<std::string_view> entries = whole_entries(bytes ? std::string_view(*bytes) : std::string_view{}, one.lost);
    lay_over(now, entries, recovered.empty() ? sha256 : std::string{}, one);
    now = one.snapshot;
    recovered.push_back(one);
    ::close(file);
  }
  return recovered;
}

void finish_recovery(const std::vector<Recovered>& recovered) {
  for (const Recovered& one : recovered) {
    std::error_code ignored;
    if (one.lost == 0 || one.edits > 0 || std::filesystem::file_size(one.path, ignored) == 0)
      std::filesystem::remove(one.path, ignored);
    else  // nothing in it could be used: kept under another name for a person to look at
      std::filesystem::rename(one.path, one.path.string() + ".damaged", ignored);
  }
}

}  // namespace boardlore
