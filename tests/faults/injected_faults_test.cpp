// Nothing is lost whatever strikes a save, and whichever system call it strikes: a kill, half a write, an I/O error, a
// full disk, a read-only one, each at every call in turn; and a power cut at every call, with only what was flushed left
// on the disk. Afterwards the document is one of those that were saved, whole, and every accepted edit is there.
#include <doctest/doctest.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/folder.h"
#include "support/run_program.h"
#include "support/small_folder.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

Session session(std::uint64_t seed) { return small::session(seed, 5); }

struct Bench {
  TemporaryFolder tmp;
  fs::path root = tmp.path / "disk", dir = root / "board", shadow = tmp.path / "shadow", start = tmp.path / "start", count = tmp.path / "count";
  std::set<std::string> whole;  // every text that was ever the document

  Bench() {
    ::setenv("XDG_STATE_HOME", (root / "state").c_str(), 1);
    ::setenv("BOARDLORE_INDEX", (tmp.path / "no-index").c_str(), 1);
    fs::create_directories(root);
    Result<Folder> folder = Folder::create_board(dir, Board{"Maker", "Model", "A", 100.0, 60.0, {}, {}}, session(1));
    REQUIRE(folder);
    whole.insert(*read_file(dir / "layer.json"));
    fs::copy(root, start, fs::copy_options::recursive);
    // What a run without faults saves; the worker's ids and times are always the same.
    begin();
    run("KILL", 0, false);
    for (const auto& entry : fs::directory_iterator(dir / ".history")) whole.insert(*read_file(entry.path()));
    whole.insert(*read_file(dir / "layer.json"));
    REQUIRE(whole.size() == 4);
  }
  ~Bench() {
    ::unsetenv("XDG_STATE_HOME");
    ::unsetenv("BOARDLORE_INDEX");
  }
  Bench(const Bench&) = delete;
  Bench& operator=(const Bench&) = delete;

  void begin() {
    fs::remove_all(root);
    fs::remove_all(shadow);
    fs::create_directory(shadow);
    fs::copy(start, root, fs::copy_options::recursive);
  }
  // What the worker said.
  std::vector<std::string> run(const char* kind, long at, bool and_on) const {
    const std::string command = "FAULT_ROOT=" + shell_quoted(root.string()) + " FAULT_SHADOW=" + shell_quoted(shadow.string()) +
                                " FAULT_COUNT=" + shell_quoted(count.string()) + " FAULT_KIND=" + kind + " FAULT_AT=" + std::to_string(at) +
                                " FAULT_ON=" + (and_on ? "1" : "0") + " LD_PRELOAD=" + shell_quoted(BOARDLORE_FAULT_LIBRARY) + " " +
                                shell_quoted(BOARDLORE_SAVE_WORKER) + " " + shell_quoted(dir.string()) + " 2>/dev/null";
    std::istringstream said(run_shell("exec 2>/dev/null; " + command).output);
    std::vector<std::string> lines;
    for (std::string line; std::getline(said, line);) lines.push_back(line);
    return lines;
  }
  long calls() const {
    std::ifstream in(count);
    long n = 0;
    in >> n;
    return n;
  }
  long calls_of(const char* kind) {
    begin();
    fs::remove(count);
    const std::vector<std::string> said = run(kind, 0, false);
    REQUIRE_FALSE(said.empty());
    REQUIRE(said.back() == "done");
    return calls();
  }
};

// Accepted edits that are not there; the undone move is asked for by nobody.
std::size_t lost_edits(const Snapshot& now, const std::vector<std::string>& said) {
  std::map<std::string, double> wanted;
  for (const std::string& line : said) {
    std::istringstream words(line);
    std::string what, refdes;
    double x_mm = 0;
    words >> what >> refdes >> x_mm;
    if (what == "placed") wanted.emplace(refdes, 0);
    if (what == "moved") wanted[refdes] = x_mm;
    if (what == "undone") wanted["TP2"] = 0;
  }
  std::size_t lost = 0;
  for (const auto& [refdes, x_mm] : wanted) {
    const std::vector<MarkPtr> marks = find_marks(*now.layer, refdes);
    // The step after the last one said may have reached the journal too: then it is further on, or undone.
    const bool undo_pending = refdes == "TP2" && x_mm == 3 && marks.size() == 1 && marks[0]->at.x_mm == 0;
    lost += marks.size() == 1 && (marks[0]->at.x_mm >= x_mm || undo_pending) ? 0U : 1U;
  }
  return lost;
}

struct Tally {
  std::size_t faults = 0, lost = 0, broken = 0, not_opened = 0;
  void print(const char* what) const { std::printf("  %-34s %4zu faults, %zu edits lost, %zu documents broken, %zu not opened\n", what, faults, lost, broken, not_opened); }
  bool clean() const { return lost == 0 && broken == 0 && not_opened == 0; }
};

void judge(const Bench& bench, const std::vector<std::string>& said, bool as_saved, Tally& tally) {
  ++tally.faults;
  const Result<std::string> text = read_file(bench.dir / "layer.json");
  const bool whole = text && (as_saved ? bench.whole.count(*text) == 1 : bool(read_layer(*text, "layer.json")));
  if (!whole) ++tally.broken;
  Result<Folder> folder = Folder::open(bench.dir, session(99));
  if (!folder) {
    ++tally.not_opened;
    std::printf("    %s\n", to_text(folder.problem()).c_str());
    return;
  }
  const std::size_t lost = lost_edits(folder->now(), said);
  if (lost > 0 || !whole)
    for (const std::string& line : said) std::printf("    %s\n", line.c_str());
  tally.lost += lost;
  // And it stays so after a save.
  if (!folder->save()) ++tally.broken;
  const Result<Folder> again = Folder::open(bench.dir, session(100));
  if (!again) ++tally.not_opened;
  else tally.lost += lost_edits(again->now(), said);
}

// ---- what a power cut leaves ----

struct OnDisk {  // as it lay there before the run, all of it flushed
  std::map<ino_t, std::string> data;
  std::map<ino_t, std::vector<std::pair<std::string, ino_t>>> names;
  std::set<ino_t> folders;
};

ino_t inode_of(const fs::path& path) {
  struct stat about {};
  return ::lstat(path.c_str(), &about) == 0 ? about.st_ino : 0;
}

void look(const fs::path& dir, OnDisk& disk) {
  const ino_t own = inode_of(dir);
  disk.folders.insert(own);
  disk.names[own];
  for (const auto& entry : fs::directory_iterator(dir)) {
    const ino_t inode = inode_of(entry.path());
    disk.names[own].emplace_back(entry.path().filename().string(), inode);
    if (entry.is_directory()) look(entry.path(), disk);
    else disk.data[inode] = *read_file(entry.path());
  }
}

// names: only those flushed; else as they are. data: only what was flushed; else as it is.
enum class Left { flushed_only, names_ahead, data_ahead };

struct PowerCut {
  const Bench& bench;
  const OnDisk& before;
  OnDisk now;
  Left left;

  bool born(ino_t inode) const { return fs::exists(bench.shadow / ("born." + std::to_string(inode))); }
  std::string data(ino_t inode) const {
    if (left == Left::data_ahead)
      if (const auto found = now.data.find(inode); found != now.data.end()) return found->second;
    if (const Result<std::string> flushed = read_file(bench.shadow / ("data." + std::to_string(inode)))) return *flushed;
    const auto found = before.data.find(inode);
    return found != before.data.end() && !born(inode) ? found->second : std::string();  // never flushed: nothing of it
  }
  std::vector<std::pair<std::string, std::pair<ino_t, bool>>> names(ino_t inode) const {
    std::vector<std::pair<std::string, std::pair<ino_t, bool>>> list;
    const auto add = [&](const OnDisk& disk) {
      if (const auto found = disk.names.find(inode); found != disk.names.end())
        for (const auto& [name, child] : found->second) list.push_back({name, {child, disk.folders.count(child) == 1}});
    };
    if (left == Left::names_ahead) {
      add(now);
      return list;
    }
    const Result<std::string> flushed = read_file(bench.shadow / ("dir." + std::to_string(inode)));
    if (!flushed) {
      if (!born(inode)) add(before);
      return list;
    }
    std::istringstream lines(*flushed);
    for (std::string line; std::getline(lines, line);) {
      std::istringstream words(line);
      ino_t child = 0;
      std::string type, name;
      words >> child >> type;
      std::getline(words >> std::ws, name);
      list.push_back({name, {child, type == "d"}});
    }
    return list;
  }
  void put(ino_t inode, const fs::path& dir) const {
    fs::create_directory(dir);
    for (const auto& [name, child] : names(inode)) {
      if (child.second) put(child.first, dir / name);
      else std::ofstream(dir / name, std::ios::binary) << data(child.first);
    }
  }
};

}  // namespace

TEST_CASE("struck at every system call in turn, a save leaves the old document or the new one, and no accepted edit is lost") {
  Bench bench;
  Tally all;
  for (const char* kind : {"KILL", "HALF", "EIO", "ENOSPC", "EROFS"}) {
    const bool kills = std::string(kind) == "KILL" || std::string(kind) == "HALF";
    const long calls = bench.calls_of(kind);
    CHECK(calls > 5);
    for (const bool and_on : {false, true}) {
      if (kills && and_on) continue;
      Tally tally;
      for (long n = 1; n <= calls; ++n) {
        bench.begin();
        const std::vector<std::string> said = bench.run(kind, n, and_on);
        judge(bench, said, kills, tally);
      }
      tally.print((std::string(kind) + (kills ? " at each call" : and_on ? " from each call on" : " once at each call")).c_str());
      CHECK(tally.clean());
      all.faults += tally.faults, all.lost += tally.lost;
    }
  }
  std::printf("  %zu faults injected, %zu edits lost\n", all.faults, all.lost);
}

TEST_CASE("a power cut at every system call leaves a whole document and every accepted edit") {
  Bench bench;
  const long calls = bench.calls_of("KILL");
  std::size_t faults = 0, lost = 0;
  for (const auto& [left, words] : {std::pair{Left::flushed_only, "power cut, only what was flushed"}, std::pair{Left::names_ahead, "power cut, names ahead of data"},
                                    std::pair{Left::data_ahead, "power cut, data ahead of names"}}) {
    Tally tally;
    for (long n = 1; n <= calls; ++n) {
      bench.begin();
      OnDisk before;
      look(bench.root, before);
      const ino_t top = inode_of(bench.root);
      const std::vector<std::string> said = bench.run("KILL", n, false);
      PowerCut cut{bench, before, {}, left};
      look(bench.root, cut.now);
      const fs::path rest = bench.tmp.path / "rest";
      fs::remove_all(rest);
      cut.put(top, rest);
      fs::remove_all(bench.root);
      fs::rename(rest, bench.root);
      judge(bench, said, true, tally);
    }
    tally.print(words);
    CHECK(tally.clean());
    faults += tally.faults, lost += tally.lost;
  }
  std::printf("  %zu power cuts, %zu edits lost\n", faults, lost);
}
