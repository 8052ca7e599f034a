// A journal found beside a document that was saved after it began: what was accepted is there once, and what
// others saved stays.
#include "storage/journal.h"

#include <doctest/doctest.h>

#include "storage/folder.h"
#include "support/small_folder.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

using small::board;
using small::probe;
using small::session;

// The journals of a folder, as if their owner had died here.
void copy_journals(const fs::path& from, const fs::path& to) {
  fs::create_directories(to);
  for (const auto& entry : fs::directory_iterator(from))
    if (entry.path().extension() == ".journal") fs::copy_file(entry.path(), to / entry.path().filename());
}

}  // namespace

TEST_CASE("killed between the saved document and the dropped journal: nothing is there twice") {
  const TemporaryFolder tmp;
  const Session s = session(3);
  REQUIRE(Folder::create_board(tmp.path / "b", board(), s));
  Result<Folder> job = Folder::create_job(tmp.path / "j", tmp.path / "b", Job{}, s);
  REQUIRE(job);
  const Mark mark = probe(s, "TP1");
  REQUIRE(job->commit(PlaceMark{mark}));
  Reading reading;
  reading.id = s.new_id();
  reading.mark = mark.id;
  REQUIRE(job->commit(AddReadings{{reading}}));
  copy_journals(tmp.path / "j", tmp.path / "kept");
  REQUIRE(job->save());
  copy_journals(tmp.path / "kept", tmp.path / "j");
  Result<Folder> again = Folder::open(tmp.path / "j", s);
  REQUIRE(again);
  CHECK(again->now().job->readings.size() == 1);
  CHECK(*again->now().job == *job->now().job);
}

TEST_CASE("a journal meets what others saved since: both people's changes to one mark are there") {
  const TemporaryFolder tmp;
  const Session s = session(4);
  Mark mark = probe(s, "TP1");
  {
    Result<Folder> first = Folder::create_board(tmp.path / "b", board(), s);
    REQUIRE(first->commit(PlaceMark{mark}));
    REQUIRE(first->save());
    REQUIRE(first->commit(MoveMark{mark.id, {7, 8}}));  // accepted, then killed
    copy_journals(tmp.path / "b", tmp.path / "kept");
    REQUIRE(first->undo());
    REQUIRE(first->save());
  }
  {
    Result<Folder> other = Folder::open(tmp.path / "b", s);
    mark.text = "warm";
    REQUIRE(other->commit(ChangeMark{mark, ""}));
    REQUIRE(other->save());
  }
  copy_journals(tmp.path / "kept", tmp.path / "b");
  Result<Folder> again = Folder::open(tmp.path / "b", s);
  REQUIRE(again);
  CHECK(again->now().layer->marks.find(mark.id)->at == BoardPoint{7, 8});
  CHECK(again->now().layer->marks.find(mark.id)->text == "warm");
  CHECK(again->now().layer->disputes.empty());
}

TEST_CASE("journal lines taken back give what was there before") {
  const Session s = session(5);
  Snapshot start;
  Layer layer;
  layer.id = s.new_id();
  layer.board = board();
  start.layer = std::make_shared<const Layer>(layer);
  Snapshot now = start;
  std::vector<std::string> lines;
  const auto edit = [&](const Edit& one) {
    Result<Snapshot> next = boardlore::apply(now, one);
    REQUIRE(next);
    lines.push_back(journal_entry(now, *next, "edit", "base"));
    now = *next;
  };
  const Mark mark = probe(s, "TP1");
  Photo photo;
  photo.id = s.new_id();
  photo.file = "top.jpg";
  edit(PlaceMark{mark});
  edit(PutPhoto{photo});
  photo.note = "other light";
  edit(PutPhoto{photo});
  edit(MoveMark{mark.id, {1, 2}});
  edit(SetBoard{Board{"Maker", "Model", "B", 90.0, 60.0, {}, {}}});
  edit(RemoveMark{mark.id});
  const std::vector<std::string_view> entries(lines.begin(), lines.end());
  const Result<Snapshot> forward = apply_journal_entries(start, entries, JournalWay::forward);
  REQUIRE(forward);
  CHECK(*forward->layer == *now.layer);
  const Result<Snapshot> twice = apply_journal_entries(*forward, entries, JournalWay::forward);
  REQUIRE(twice);
  CHECK(*twice->layer == *now.layer);
  const Result<Snapshot> back = apply_journal_entries(*forward, entries, JournalWay::backward);
  REQUIRE(back);
  CHECK(*back->layer == *start.layer);
}
