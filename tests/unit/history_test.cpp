#include "storage/history.h"

#include <doctest/doctest.h>

#include <cstdlib>

#include "storage/file_bytes.h"
#include "storage/folder.h"
#include "support/small_folder.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

using small::board;
using small::probe;

Session session() { return small::session(11); }

}  // namespace

TEST_CASE("every save keeps what it replaces, and any of it can be had back and undone") {
  const TemporaryFolder tmp;
  const Session s = session();
  Result<Folder> folder = Folder::create_board(tmp.path / "b", board(), s);
  REQUIRE(folder);
  const fs::path file = tmp.path / "b/layer.json";
  REQUIRE(folder->commit(PlaceMark{probe(s, "TP1")}));
  REQUIRE(folder->save());
  const std::string with_one = *read_file(file);
  REQUIRE(folder->commit(PlaceMark{probe(s, "TP2")}));
  REQUIRE(folder->save());
  REQUIRE(versions_of(file).size() == 2);  // the empty board, and the one with TP1
  CHECK(*version_text(file, 2) == with_one);

  REQUIRE(folder->restore(2));
  CHECK(folder->now().layer->marks.size() == 1);
  CHECK(folder->document().undo_name() == "restore version 2");
  REQUIRE(folder->save());
  CHECK(*read_file(file) == with_one);
  REQUIRE(folder->undo());
  CHECK(folder->now().layer->marks.size() == 2);
  REQUIRE(folder->save());

  const Result<Done> none = folder->restore(77);
  REQUIRE_FALSE(none);
  CHECK(none.problem().expected.find("1 to 4") != std::string::npos);
}

TEST_CASE("a restored version survives a killed process like any edit") {
  const TemporaryFolder tmp;
  const Session s = session();
  {
    Result<Folder> folder = Folder::create_board(tmp.path / "b", board(), s);
    REQUIRE(folder->commit(PlaceMark{probe(s, "TP1")}));
    REQUIRE(folder->save());
    REQUIRE(folder->restore(1));
  }
  Result<Folder> again = Folder::open(tmp.path / "b", s);
  REQUIRE(again);
  CHECK(again->now().layer->marks.size() == 0);
}

TEST_CASE("the number of versions is bounded: the newest, and one a day of what is older") {
  const TemporaryFolder tmp;
  const Session s = session();
  Result<Folder> folder = Folder::create_board(tmp.path / "b", board(), s);
  const Mark mark = probe(s, "TP1");
  REQUIRE(folder->commit(PlaceMark{mark}));
  for (int i = 0; i < 50; ++i) {
    REQUIRE(folder->commit(MoveMark{mark.id, {double(i) + 1, 1}}));
    REQUIRE(folder->save());
  }
  const std::vector<KeptVersion> kept = versions_of(tmp.path / "b/layer.json");
  CHECK(kept.size() >= newest_versions_kept);
  CHECK(kept.size() <= newest_versions_kept + 2);  // one of today, two around midnight
  CHECK(kept.back().number == 50);

  std::vector<KeptVersion> years;  // two a day
  for (int i = 0; i < 400; ++i) years.push_back({i + 1, Timestamp{i * 43'200'000LL}, 1, {}});
  CHECK(years.size() - versions_over_bound(years).size() == newest_versions_kept + daily_versions_kept);
}

TEST_CASE("a folder that vanishes keeps the work on this machine, and it comes home") {
  const TemporaryFolder tmp;
  ::setenv("XDG_STATE_HOME", (tmp.path / "state").c_str(), 1);
  const Session s = session();
  for (const bool killed : {false, true}) {
    CAPTURE(killed);
    const fs::path dir = tmp.path / (killed ? "killed" : "saved"), aside = tmp.path / "aside";
    {
      Result<Folder> folder = Folder::create_board(dir, board(), s);
      REQUIRE(folder);
      const Mark first = probe(s, "TP1");
      REQUIRE(folder->commit(PlaceMark{first}));
      REQUIRE(folder->save());
      fs::rename(dir, aside);  // the share is gone
      REQUIRE(folder->commit(MoveMark{first.id, {5, 5}}));
      REQUIRE(folder->commit(PlaceMark{probe(s, "TP2")}));
      CHECK(folder->kept_on_this_machine());
      CHECK_FALSE(folder->save());
      fs::create_directory(dir);  // an empty mount point is not the share
      CHECK_FALSE(folder->save());
      CHECK_FALSE(fs::exists(dir / "layer.json"));
      fs::remove_all(dir);
      fs::rename(aside, dir);  // and back
      if (!killed) {
        REQUIRE(folder->save());
        CHECK_FALSE(folder->kept_on_this_machine());
      }
    }
    Result<Folder> again = Folder::open(dir, s);
    REQUIRE(again);
    CHECK(again->now().layer->marks.size() == 2);
    CHECK(again->remarks().size() == (killed ? 1 : 0));
    REQUIRE(find_marks(*again->now().layer, "TP1").size() == 1);
    CHECK(find_marks(*again->now().layer, "TP1")[0]->at.x_mm == 5);
    REQUIRE(again->save());
  }
  std::size_t left = 0;
  for (const auto& entry : fs::recursive_directory_iterator(tmp.path / "state")) left += entry.is_regular_file();
  CHECK(left == 0);
  ::unsetenv("XDG_STATE_HOME");
}
