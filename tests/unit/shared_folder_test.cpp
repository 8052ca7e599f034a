// Several people in one folder at once: who is there, what they save comes in, and undo takes back only one's own.
#include <doctest/doctest.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <thread>

#include "bench/desk.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/folder_lock.h"
#include "storage/presence.h"
#include "support/small_folder.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

using small::board;
using small::probe;

Session session(std::uint64_t seed, const char* technician = "") {
  Session s;
  s.clock = [] { return Timestamp{1'700'000'000'000}; };
  s.ids = std::make_shared<IdSource>(seed, 9);
  s.technician = technician;
  return s;
}

Timestamp true_now(int later_s = 0) {
  return Timestamp{std::chrono::duration_cast<std::chrono::milliseconds>(std::chrono::system_clock::now().time_since_epoch()).count() + later_s * 1000};
}

std::size_t open_files(const fs::path& dir) {
  std::size_t n = 0;
  for (const auto& entry : fs::directory_iterator(dir)) n += entry.path().filename().string().starts_with(".open-");
  return n;
}

}  // namespace

TEST_CASE("who has a folder open is seen, and gone with the window") {
  const TemporaryFolder tmp;
  {
    const Presence ann(tmp.path, "Ann", true_now()), other(tmp.path, "", true_now(1));
    const std::vector<Present> all = others_present(tmp.path, true_now());
    REQUIRE(all.size() == 2);
    CHECK(all[0].who == "Ann");
    CHECK(all[0].this_machine);
    const std::vector<Present> seen_by_ann = others_present(tmp.path, true_now(), &ann);
    REQUIRE(seen_by_ann.size() == 1);
    CHECK(seen_by_ann[0].who.empty());
    CHECK(spoken_presence(seen_by_ann) == "somebody else has this folder open too");
    CHECK(spoken_presence(all) == "Ann and 1 more have this folder open too");
  }
  CHECK(open_files(tmp.path) == 0);
  CHECK(others_present(tmp.path, true_now()).empty());
}

TEST_CASE("a killed window and a crashed machine leave nothing: the next look takes their file away") {
  const TemporaryFolder tmp;
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    const Presence killed(tmp.path, "Bert", true_now());
    ::_exit(0);  // no destructor: as if killed
  }
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  REQUIRE(open_files(tmp.path) == 1);
  CHECK(others_present(tmp.path, true_now()).empty());  // the kernel dropped its lock
  CHECK(open_files(tmp.path) == 0);

  // Another machine: its lock is not seen here, its last beat is.
  const fs::path far = tmp.path / ".open-0123456789abcdef";
  std::ofstream(far) << R"({"who": "Cleo", "since": "2026-03-04T10:00:00Z", "machine": "elsewhere"})";
  REQUIRE(others_present(tmp.path, true_now()).size() == 1);
  CHECK(others_present(tmp.path, true_now(presence_expires_s)).size() == 1);
  CHECK(others_present(tmp.path, true_now(presence_expires_s + 2)).empty());
  CHECK_FALSE(fs::exists(far));
}

TEST_CASE("what lies in a folder as if somebody were there is not believed blindly") {
  const TemporaryFolder tmp;
  std::ofstream(tmp.path / ".open-1") << "not JSON";
  std::ofstream(tmp.path / ".open-2") << std::string(100'000, 'x');
  std::ofstream(tmp.path / ".open-3") << "{\"who\": \"" << std::string(2000, 'n') << "\", \"since\": 5}";
  fs::create_symlink("/etc/passwd", tmp.path / ".open-4");
  fs::create_directory(tmp.path / ".open-5");
  const std::vector<Present> seen = others_present(tmp.path, true_now());
  REQUIRE(seen.size() == 1);
  CHECK(seen[0].who.size() == 80);
  // No file can be made where there is no folder: nothing else fails.
  const Presence nowhere(tmp.path / "missing", "Ann", true_now());
}

TEST_CASE("two that hold one folder open converge, also where both edited") {
  const TemporaryFolder tmp;
  const Session s = session(1);
  REQUIRE(Folder::create_board(tmp.path / "b", board(), s));
  Result<Folder> one = Folder::open(tmp.path / "b", session(2)), other = Folder::open(tmp.path / "b", session(3));
  REQUIRE(one->commit(PlaceMark{probe(s, "TP1")}));
  REQUIRE(other->commit(PlaceMark{probe(s, "TP2")}));
  REQUIRE(one->save());
  const Result<bool> held_back = other->take_in_saved();  // edits of its own wait: the save merges
  REQUIRE(held_back);
  CHECK_FALSE(*held_back);
  REQUIRE(other->save());
  const Result<bool> came_in = one->take_in_saved();
  REQUIRE(came_in);
  CHECK(*came_in);
  CHECK(*one->now().layer == *other->now().layer);
  CHECK(one->now().layer->marks.size() == 2);
  CHECK_FALSE(one->unsaved());
  const Result<bool> nothing_new = one->take_in_saved();
  REQUIRE(nothing_new);
  CHECK_FALSE(*nothing_new);
}

TEST_CASE("undo takes back one's own step and nothing that others saved meanwhile") {
  const TemporaryFolder tmp;
  const Session s = session(1);
  REQUIRE(Folder::create_board(tmp.path / "b", board(), s));
  Result<Folder> one = Folder::open(tmp.path / "b", session(2)), other = Folder::open(tmp.path / "b", session(3));
  REQUIRE(one->commit(PlaceMark{probe(s, "TP1")}));
  REQUIRE(one->commit(PlaceMark{probe(s, "TP2")}));
  REQUIRE(one->save());
  REQUIRE(other->take_in_saved());
  REQUIRE(other->commit(PlaceMark{probe(s, "TP3")}));
  REQUIRE(other->save());
  REQUIRE(one->take_in_saved());
  REQUIRE(one->now().layer->marks.size() == 3);
  REQUIRE(one->undo());
  CHECK(find_marks(*one->now().layer, "TP1").size() == 1);
  CHECK(find_marks(*one->now().layer, "TP2").empty());
  CHECK(find_marks(*one->now().layer, "TP3").size() == 1);  // somebody else's
  REQUIRE(one->redo());
  CHECK(one->now().layer->marks.size() == 3);
  REQUIRE(one->undo());
  REQUIRE(one->save());
  const Result<Folder> last = Folder::open(tmp.path / "b", s);
  CHECK(last->now().layer->marks.size() == 2);
}

TEST_CASE("a job that lies open sees what a colleague saved into its board") {
  const TemporaryFolder tmp;
  const Session s = session(1);
  Result<Folder> b = Folder::create_board(tmp.path / "b", board(), s);
  Result<Folder> job = Folder::create_job(tmp.path / "j", tmp.path / "b", Job{}, session(2));
  REQUIRE(job);
  REQUIRE(b->commit(PlaceMark{probe(s, "TP1")}));
  REQUIRE(b->save());
  const Result<bool> came_in = job->take_in_saved();
  REQUIRE(came_in);
  CHECK(*came_in);
  CHECK(find_marks(*job->now().layer, "TP1").size() == 1);
}

TEST_CASE("two desks on one folder: each sees the other, and what one saves is on the other") {
  const TemporaryFolder tmp;
  const Session s = session(1);
  REQUIRE(Folder::create_board(tmp.path / "b", board(), s));
  Desk ann(session(2, "Ann")), bert(session(3, "Bert"));
  ann.open(tmp.path / "b");
  ann.wait_idle();
  bert.open(tmp.path / "b");
  bert.wait_idle();
  ann.look_around();
  ann.wait_idle();
  REQUIRE(ann.view()->others.size() == 1);
  CHECK(ann.view()->others[0].who == "Bert");
  CHECK(bert.view()->others[0].who == "Ann");
  bert.commit("place TP1", {PlaceMark{probe(s, "TP1")}});
  bert.save();
  bert.wait_idle();
  ann.look_around();
  ann.wait_idle();
  CHECK(ann.view()->snapshot.layer->marks.size() == 1);
  const std::uint64_t version = ann.view()->version;
  ann.look_around();
  ann.wait_idle();
  CHECK(ann.view()->version == version);  // nothing new: nothing to draw
  bert.close();
  bert.wait_idle();
  ann.look_around();
  ann.wait_idle();
  CHECK(ann.view()->others.empty());
}

TEST_CASE("a save and the edits behind it wait for a slow disk beside the frame: the window's calls come back at once") {
  const TemporaryFolder tmp;
  const Session s = session(1);
  REQUIRE(Folder::create_board(tmp.path / "b", board(), s));
  Desk desk(session(2));
  desk.open(tmp.path / "b");
  desk.commit("place TP1", {PlaceMark{probe(s, "TP1")}});
  desk.wait_idle();
  double longest_ms = 0;
  const auto timed = [&](auto call) {
    const auto start = std::chrono::steady_clock::now();
    call();
    longest_ms = std::max(longest_ms, std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count());
  };
  {
    // The folder is locked by another save that hangs: ours waits for it.
    Result<FolderLock> hanging = FolderLock::take(tmp.path / "b");
    REQUIRE(hanging);
    const FolderLock held = *std::move(hanging);
    timed([&] { desk.save(); });
    for (int frame = 0; frame < 30; ++frame) {
      // Its line in the journal is written and flushed by the same hand that hangs.
      if (frame % 10 == 0) timed([&] { desk.commit("place", {PlaceMark{probe(s, ("TP" + std::to_string(10 + frame)).c_str())}}); });
      timed([&] { static_cast<void>(desk.view()), static_cast<void>(desk.busy()), static_cast<void>(desk.take_messages()); });
      std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    CHECK(desk.busy());
    CHECK(desk.view()->unsaved);
  }
  desk.wait_idle();
  CHECK(desk.view()->snapshot.layer->marks.size() == 4);
  desk.save();
  desk.wait_idle();
  CHECK_FALSE(desk.view()->unsaved);
  std::printf("  longest call from the window while a save hung for 0.3 s: %.2f ms\n", longest_ms);
  CHECK(longest_ms < 100);  // a frame is 16 ms; a loaded machine may take the processor away
}

TEST_CASE("work done while a folder was away is saved when it is back, and trouble is said once") {
  const TemporaryFolder tmp;
  ::setenv("XDG_STATE_HOME", (tmp.path / "state").c_str(), 1);
  const Session s = session(1);
  REQUIRE(Folder::create_board(tmp.path / "b", board(), s));
  {
    Desk desk(session(2));
    desk.open(tmp.path / "b");
    desk.wait_idle();
    static_cast<void>(desk.take_messages());
    fs::rename(tmp.path / "b", tmp.path / "away");
    desk.commit("place TP1", {PlaceMark{probe(s, "TP1")}});
    for (int again = 0; again < 3; ++again) desk.save(), desk.look_around(), desk.wait_idle();
    CHECK(desk.view()->kept_here);
    CHECK(desk.view()->unsaved);
    std::size_t troubles = 0;
    for (const DeskMessage& message : desk.take_messages()) troubles += message.trouble;
    CHECK(troubles == 1);
    fs::rename(tmp.path / "away", tmp.path / "b");
    desk.save();
    desk.wait_idle();
    CHECK_FALSE(desk.view()->unsaved);
    CHECK_FALSE(desk.view()->kept_here);
    const std::vector<DeskMessage> said = desk.take_messages();
    REQUIRE(said.size() == 1);
    CHECK_FALSE(said[0].trouble);
  }
  const Result<Folder> again = Folder::open(tmp.path / "b", s);
  CHECK(again->now().layer->marks.size() == 1);
  CHECK(again->remarks().empty());
  CHECK(open_files(tmp.path / "b") == 0);
  ::unsetenv("XDG_STATE_HOME");
}
