#include "storage/folder.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>

#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "support/small_folder.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

using small::board;

Session session(std::uint64_t seed = 7) {
  Session s;
  s.clock = [] { return Timestamp{1'700'000'000'000}; };
  s.ids = std::make_shared<IdSource>(seed, 9);
  return s;
}

Mark part(Session& s, const char* refdes, double x_mm) {
  Mark mark;
  mark.id = s.new_id();
  mark.kind = MarkKind::part;
  mark.refdes = refdes;
  mark.at = {x_mm, 2};
  return mark;
}

}  // namespace

TEST_CASE("an accepted edit is there after the process is gone without saving") {
  const TemporaryFolder tmp;
  Session s = session();
  {
    Result<Folder> folder = Folder::create_board(tmp.path / "b", board(), s);
    REQUIRE_MESSAGE(folder, to_text(folder.problem()));
    REQUIRE(folder->commit(PlaceMark{part(s, "C1", 1)}));
    REQUIRE(folder->commit(PlaceMark{part(s, "C2", 2)}));
    REQUIRE(folder->undo());
  }  // closed without save: as if killed
  Result<Folder> again = Folder::open(tmp.path / "b", s);
  REQUIRE(again);
  CHECK(again->now().layer->marks.size() == 1);
  REQUIRE(again->remarks().size() == 1);
  CHECK(again->remarks()[0].find("recovered") != std::string::npos);
  REQUIRE(again->save());
  std::size_t files = 0;
  for (const auto& entry : fs::directory_iterator(tmp.path / "b")) files += entry.is_regular_file();
  CHECK(files == 1);  // the journal is gone
}

TEST_CASE("a torn last line of the journal loses only itself") {
  const TemporaryFolder tmp;
  Session s = session();
  {
    Result<Folder> folder = Folder::create_board(tmp.path / "b", board(), s);
    REQUIRE(folder->commit(PlaceMark{part(s, "C1", 1)}));
    REQUIRE(folder->commit(PlaceMark{part(s, "C2", 2)}));
  }
  for (const auto& entry : fs::directory_iterator(tmp.path / "b"))
    if (entry.path().extension() == ".journal") fs::resize_file(entry.path(), fs::file_size(entry.path()) - 5);
  Result<Folder> again = Folder::open(tmp.path / "b", s);
  REQUIRE(again);
  CHECK(again->now().layer->marks.size() == 1);
}

TEST_CASE("what somebody else saved meanwhile is merged, not overwritten") {
  const TemporaryFolder tmp;
  Session s = session();
  REQUIRE(Folder::create_board(tmp.path / "b", board(), s));
  Result<Folder> one = Folder::open(tmp.path / "b", s), other = Folder::open(tmp.path / "b", s);
  REQUIRE(one->commit(PlaceMark{part(s, "C1", 1)}));
  REQUIRE(other->commit(PlaceMark{part(s, "C2", 2)}));
  REQUIRE(one->save());
  REQUIRE(other->save());
  Result<Folder> both = Folder::open(tmp.path / "b", s);
  CHECK(both->now().layer->marks.size() == 2);
}

TEST_CASE("a job sees its board's marks and leaves the board's file alone") {
  const TemporaryFolder tmp;
  Session s = session();
  Result<Folder> b = Folder::create_board(tmp.path / "boards/b", board(), s);
  REQUIRE(b->commit(PlaceMark{part(s, "C1", 1)}));
  REQUIRE(b->save());
  const std::string before = *read_file(tmp.path / "boards/b/layer.json");
  Job job;
  job.reported = "dead";
  Result<Folder> j = Folder::create_job(tmp.path / "jobs/1", tmp.path / "boards/b", job, s);
  REQUIRE_MESSAGE(j, to_text(j.problem()));
  CHECK(j->now().layer->marks.size() == 1);
  REQUIRE(j->commit(PlaceMark{part(s, "C2", 2)}));
  REQUIRE(j->save());
  CHECK(*read_file(tmp.path / "boards/b/layer.json") == before);
  Result<Folder> again = Folder::open(tmp.path / "jobs/1", s);
  CHECK(again->now().layer->marks.size() == 2);
  CHECK_FALSE(again->commit(SetBoard{board()}));  // the board's own members are changed in its folder
}

TEST_CASE("a job whose board folder is gone still opens with its own marks") {
  const TemporaryFolder tmp;
  Session s = session();
  REQUIRE(Folder::create_board(tmp.path / "b", board(), s));
  Result<Folder> j = Folder::create_job(tmp.path / "j", tmp.path / "b", Job{}, s);
  REQUIRE(j->commit(PlaceMark{part(s, "C2", 2)}));
  REQUIRE(j->save());
  fs::remove_all(tmp.path / "b");
  Result<Folder> again = Folder::open(tmp.path / "j", s);
  REQUIRE_MESSAGE(again, to_text(again.problem()));
  CHECK(again->now().layer->marks.size() == 1);
  CHECK(again->remarks().size() == 1);
}
