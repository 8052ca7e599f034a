#include "bench/library.h"

#include <algorithm>
#include <cctype>
#include <cstdlib>
#include <fstream>
#include <set>

#include "record/record_words.h"
#include "storage/file_bytes.h"
#include "storage/shop_digest.h"

namespace boardlore {
namespace {

namespace fs = std::filesystem;
constexpr std::size_t recent_kept = 30;

fs::path home() {
  const char* set = std::getenv("HOME");
  return set && *set ? fs::path(set) : fs::temp_directory_path();
}

fs::path recent_file() {
  const char* state = std::getenv("XDG_STATE_HOME");
  return (state && *state ? fs::path(state) : home() / ".local" / "state") / "boardlore" / "recent";
}

std::vector<fs::path> recent() {
  std::vector<fs::path> dirs;
  std::ifstream in(recent_file());
  for (std::string line; std::getline(in, line) && dirs.size() < recent_kept;)
    if (!line.empty()) dirs.emplace_back(line);
  return dirs;
}

LibraryEntry entry_of(const fs::path& dir) {
  std::error_code error;
  return {dir, fs::exists(dir / "job.json", error), dir.filename().string(), dir.parent_path().string(), {}, {}, false, false, false};
}

// The demo board beside an installed program (../share) or above one in its build folder.
fs::path demo_source() {
  std::error_code error;
  const fs::path program = fs::read_symlink("/proc/self/exe", error);
  if (error) return {};
  std::vector<fs::path> places{program.parent_path() / ".." / "share" / "boardlore" / "boards"};
  fs::path up = program.parent_path();
  for (int i = 0; i < 5; ++i, up = up.parent_path()) places.push_back(up / "boards");
  for (const fs::path& place : places)
    for (const auto& item : fs::directory_iterator(place, error))
      if (fs::exists(item.path() / "layer.json", error)) return item.path();
  return {};
}

}  // namespace

fs::path library_dir() {
  const char* set = std::getenv("BOARDLORE_LIBRARY");
  return set && *set ? fs::path(set) : home() / "Boardlore";
}

bool is_document_folder(const fs::path& dir) {
  std::error_code error;
  return fs::exists(dir / "layer.json", error) || fs::exists(dir / "job.json", error);
}

// The first photo by name; a board's "top" before the rest.
fs::path picture_of(const fs::path& dir) {
  std::vector<fs::path> pictures;
  std::error_code error;
  for (const fs::path& place : {dir / "photos", dir})
    for (const auto& item : fs::directory_iterator(place, error)) {
      std::string ending = item.path().extension().string();
      std::transform(ending.begin(), ending.end(), ending.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
      if (ending == ".jpg" || ending == ".jpeg" || ending == ".png" || ending == ".heic") pictures.push_back(item.path());
    }
  const auto key = [](const fs::path& p) { return std::pair(p.stem() != "top", p); };
  std::sort(pictures.begin(), pictures.end(), [&](const fs::path& a, const fs::path& b) { return key(a) < key(b); });
  return pictures.empty() ? fs::path() : pictures.front();
}

std::string title_of(const fs::path& dir, bool is_job) {
  const fs::path file = dir / (is_job ? "job.json" : "layer.json");
  const auto bytes = read_file(file);
  const auto digest = bytes ? digest_document(*bytes, file.string()) : Result<Digest>(bytes.problem());
  if (!digest) return {};
  if (!is_job) return digest->title;
  // What was reported, of which board, and how it stands.
  const std::string title = digest->title + (digest->title.empty() || digest->board.empty() ? "" : ", ") + digest->board;
  return title.empty() ? title : title + (digest->outcome.empty() ? ", open" : ", " + spoken_outcome(digest->outcome) + " " + digest->closed_at.substr(0, 10));
}

std::vector<LibraryEntry> list_library(const fs::path& library) {
  std::vector<LibraryEntry> entries;
  std::set<fs::path> seen;
  for (const fs::path& dir : recent())
    if (is_document_folder(dir) && seen.insert(dir.lexically_normal()).second) entries.push_back(entry_of(dir));
  for (const char* shelf : {"boards", "jobs"}) {
    // Names only: asking the disk for every folder's files took most of the page's time, and few are ever in view.
    std::vector<fs::path> dirs;
    std::error_code error;
    for (fs::directory_iterator at(library / shelf, error), end; !error && at != end; at.increment(error))
      if (at->path().filename().string().front() != '.') dirs.push_back(at->path());
    std::sort(dirs.begin(), dirs.end());
    const bool jobs = shelf == std::string_view("jobs");
    if (jobs) std::reverse(dirs.begin(), dirs.end());
    const std::string detail = (library / shelf).string();
    for (const fs::path& dir : dirs) {
      if (entries.size() >= most_listed) break;
      if (!seen.contains(dir.lexically_normal())) entries.push_back({dir, jobs, dir.filename().string(), detail, {}, {}, false, false, false});
    }
  }
  return entries;
}

void remember_opened(const fs::path& dir) {
  const fs::path file = recent_file();
  std::vector<fs::path> dirs = recent();
  const fs::path normal = fs::absolute(dir).lexically_normal();
  std::erase(dirs, normal);
  dirs.insert(dirs.begin(), normal);
  if (dirs.size() > recent_kept) dirs.resize(recent_kept);
  std::error_code error;
  fs::create_directories(file.parent_path(), error);
  // A list for comfort: where it cannot be written, the window works without.
  std::ofstream out(file, std::ios::trunc);
  for (const fs::path& entry : dirs) out << entry.string() << '\n';
}

std::string folder_name(const std::string& words) {
  std::string name;
  for (const char c : words) {
    const auto u = static_cast<unsigned char>(c);
    if (std::isalnum(u) || u >= 0x80)
      name += u < 0x80 ? static_cast<char>(std::tolower(u)) : c;
    else if (!name.empty() && name.back() != '-')
      name += '-';
  }
  while (!name.empty() && name.back() == '-') name.pop_back();
  if (name.size() > 80) name.resize(80);
  return name.empty() ? "board" : name;
}

fs::path lay_out_demo(const fs::path& library) {
  const fs::path source = demo_source();
  if (source.empty()) return {};
  const fs::path place = library / "boards" / source.filename();
  std::error_code error;
  if (is_document_folder(place)) return place;
  fs::create_directories(place, error);
  for (const auto& item : fs::directory_iterator(source, error))
    if (item.is_regular_file(error)) fs::copy_file(item.path(), place / item.path().filename(), fs::copy_options::skip_existing, error);
  return is_document_folder(place) ? place : fs::path();
}

}  // namespace boardlore
