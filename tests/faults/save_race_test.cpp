// Two programs that save one folder in the same moment: no edit of either is lost.
#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>

#include "storage/folder.h"
#include "support/small_folder.h"
#include "support/temporary_folder.h"

using namespace boardlore;

namespace {

constexpr int saves_each = 20;
constexpr int writers = 2;

std::string name_of(int writer, int i) { return "TP" + std::to_string((writer + 1) * 1000 + i); }

Session session(std::uint64_t seed) { return small::session(seed, 5); }

// One mark a save, each with a designator of its own; the folder stays open all the while.
[[noreturn]] void save_in_a_tight_loop(const std::filesystem::path& dir, int writer) {
  const Session s = session(static_cast<std::uint64_t>(writer) + 100);
  Result<Folder> folder = Folder::open(dir, s);
  if (!folder) ::_exit(9);
  for (int i = 0; i < saves_each; ++i) {
    Mark mark;
    mark.id = s.new_id();
    mark.kind = MarkKind::probe;
    mark.refdes = name_of(writer, i);
    mark.at = {double(i), 20.0 * writer};
    if (!folder->commit(PlaceMark{mark})) ::_exit(8);
    if (!folder->save()) ::_exit(7);
  }
  ::_exit(0);
}

}  // namespace

TEST_CASE("two processes saving in a tight loop lose no edit of either") {
  const TemporaryFolder tmp;
  REQUIRE(Folder::create_board(tmp.path / "b", Board{"Maker", "Model", "A", 400.0, 60.0, {}, {}}, session(1)));
  pid_t children[writers];
  for (int w = 0; w < writers; ++w) {
    children[w] = ::fork();
    REQUIRE(children[w] >= 0);
    if (children[w] == 0) save_in_a_tight_loop(tmp.path / "b", w);
  }
  for (const pid_t child : children) {
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    CHECK(WIFEXITED(status));
    CHECK(WEXITSTATUS(status) == 0);
  }
  Result<Folder> folder = Folder::open(tmp.path / "b", session(3));
  REQUIRE(folder);
  int lost = 0;
  for (int w = 0; w < writers; ++w)
    for (int i = 0; i < saves_each; ++i)
      lost += find_marks(*folder->now().layer, name_of(w, i)).size() == 1 ? 0 : 1;
  std::printf("  %d saves by %d processes at once, %d edits lost\n", saves_each * writers, writers, lost);
  CHECK(lost == 0);
}
