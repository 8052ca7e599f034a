#include "storage/presence.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <nlohmann/json.hpp>
#include <utility>

#include "storage/file_bytes.h"
#include "storage/json_text.h"

namespace boardlore {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view prefix = ".open-";
constexpr std::size_t max_presence_bytes = 4096;  // ours have some hundred
constexpr std::size_t max_presence_files = 200;   // more people do not share a folder
constexpr std::size_t max_name_bytes = 80;

// Tells this machine since its last start from any other, and says nothing about it: a hash of a random number
// the kernel draws at every start.
std::string machine_mark() {
  char number[64] = "";
  const int file = ::open("/proc/sys/kernel/random/boot_id", O_RDONLY | O_CLOEXEC);
  if (file >= 0) {
    const ssize_t n = ::read(file, number, sizeof number);
    ::close(file);
    if (n > 0) return sha256_hex(std::string_view(number, static_cast<std::size_t>(n))).substr(0, 12);
  }
  return "unknown";
}

struct Told {
  Present present;
  bool readable = false;
};

Told read_told(const fs::path& file) {
  const Result<std::string> text = read_file(file, max_presence_bytes);
  if (!text) return {};
  const Result<storage::Json> json = storage::parse_json(*text, file.string());
  if (!json || !json->is_object()) return {};
  const auto word = [&](const char* name) {
    const auto found = json->find(name);
    return found != json->end() && found->is_string() ? found->get<std::string>() : std::string();
  };
  Told told;
  told.readable = true;
  told.present.who = word("who").substr(0, max_name_bytes);
  if (const auto since = parse_rfc3339(word("since"))) told.present.since = *since;
  told.present.this_machine = word("machine") == machine_mark();
  return told;
}

// Whether the process that made it lives on this machine.
bool owner_lives(const fs::path& file) {
  const int descriptor = ::open(file.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW);
  if (descriptor < 0) return true;  // not ours to judge
  const bool held = ::flock(descriptor, LOCK_SH | LOCK_NB) != 0 && errno == EWOULDBLOCK;
  ::close(descriptor);
  return held;
}

}  // namespace

Presence::Presence(const fs::path& dir, const std::string& technician, Timestamp now) {
  static std::atomic<unsigned> serial = 0;
  const std::string seed = machine_mark() + std::to_string(::getpid()) + "." + std::to_string(serial++) + "." + std::to_string(now.ms);
  file_ = dir / (std::string(prefix) + sha256_hex(seed).substr(0, 16));
  const storage::Json told{{"who", technician.substr(0, max_name_bytes)}, {"since", to_rfc3339(now)}, {"machine", machine_mark()}};
  told_ = told.dump(-1, ' ', false, storage::Json::error_handler_t::replace) + "\n";
  make();
}

void Presence::make() {
  descriptor_ = ::open(file_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0644);
  touched_ = std::chrono::steady_clock::now();
  if (descriptor_ < 0) return;
  (void)::flock(descriptor_, LOCK_EX | LOCK_NB);
  if (::write(descriptor_, told_.data(), told_.size()) == static_cast<ssize_t>(told_.size())) return;
  // Half a word helps nobody.
  ::unlink(file_.c_str());
  ::close(std::exchange(descriptor_, -1));
}

Presence::~Presence() {
  if (descriptor_ < 0) return;
  // By name, as the folder may have come and gone; only ours has this one.
  ::unlink(file_.c_str());
  ::close(descriptor_);
}

void Presence::touch() {
  const auto now = std::chrono::steady_clock::now();
  if (now - touched_ < std::chrono::seconds(presence_beat_s)) return;
  struct stat about {};
  if (descriptor_ >= 0 && ::fstat(descriptor_, &about) == 0 && about.st_nlink > 0) {
    touched_ = now;
    (void)::futimens(descriptor_, nullptr);  // the file server's clock, the same for all
    return;
  }
  if (descriptor_ >= 0) ::close(std::exchange(descriptor_, -1));
  make();
}

std::vector<Present> others_present(const fs::path& dir, Timestamp now, const Presence* own) {
  std::vector<Present> others;
  std::error_code ignored;
  std::size_t seen = 0;
  for (const auto& entry : fs::directory_iterator(dir, ignored)) {
    if (!entry.path().filename().string().starts_with(prefix)) continue;
    if (own != nullptr && entry.path().filename() == own->file().filename()) continue;
    struct stat about {};
    if (::lstat(entry.path().c_str(), &about) != 0 || !S_ISREG(about.st_mode)) continue;
    if (++seen > max_presence_files) break;
    const Told told = read_told(entry.path());
    const std::int64_t age_s = now.ms / 1000 - static_cast<std::int64_t>(about.st_mtim.tv_sec);
    // Far in the future is a clock gone wrong: as good as run out.
    const bool fresh = age_s <= presence_expires_s && age_s >= -10 * presence_expires_s;
    if (!fresh || (told.readable && told.present.this_machine && !owner_lives(entry.path()))) {
      ::unlink(entry.path().c_str());
      continue;
    }
    if (told.readable) others.push_back(told.present);
  }
  std::sort(others.begin(), others.end(), [](const Present& a, const Present& b) {
    return a.since.ms != b.since.ms ? a.since.ms < b.since.ms : a.who < b.who;
  });
  return others;
}

std::string spoken_presence(const std::vector<Present>& others) {
  if (others.empty()) return {};
  std::string names;
  std::size_t unnamed = 0;
  for (const Present& one : others) {
    if (one.who.empty()) ++unnamed;
    else names += (names.empty() ? "" : ", ") + one.who;
  }
  if (unnamed > 0) names += names.empty() ? (unnamed == 1 ? "somebody else" : std::to_string(unnamed) + " others")
                                          : " and " + std::to_string(unnamed) + " more";
  return names + (others.size() == 1 ? " has" : " have") + " this folder open too";
}

}  // namespace boardlore
