#include "storage/shop_index.h"

#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <fstream>

#include "storage/documents.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

const char* const layer_id = "00000000-0000-7000-8000-0000000000aa";

void write(const fs::path& file, const std::string& text) {
  fs::create_directories(file.parent_path());
  std::ofstream(file, std::ios::binary) << text;
}

void write_board(const fs::path& dir) {
  Layer layer;
  layer.id = Id{layer_id};
  layer.board.maker = "Tallow Works", layer.board.model = "Greenhouse Controller", layer.board.revision = "C";
  Mark mark;
  mark.id = Id{"00000000-0000-7000-8000-0000000000bb"};
  mark.kind = MarkKind::part, mark.refdes = "U3", mark.value = "TX-4410";
  Note note;
  note.id = Id{"00000000-0000-7000-8000-0000000000bc"};
  note.text = "Regulator runs hot near the connector";
  mark.notes.push_back(note);
  layer.marks = layer.marks.with(std::make_shared<const Mark>(mark));
  write(dir / "layer.json", write_layer(layer));
}

void write_job_folder(const fs::path& dir, int number, const std::string& reported, bool fixed) {
  Job job;
  char id[64];
  std::snprintf(id, sizeof id, "00000000-0000-7000-8000-%012d", number);
  job.id = Id{id};
  job.board.layer = Id{layer_id};
  job.board.maker = "Tallow Works", job.board.model = "Greenhouse Controller", job.board.revision = "C";
  job.unit.owner = "Ottilie Example", job.unit.serial = "SN-778899";
  job.reported = reported;
  job.symptom = "dead";
  job.opened_at = *parse_rfc3339(number < 5 ? "2025-06-01T08:00:00Z" : "2026-06-01T08:00:00Z");
  Action action;
  action.id = job.id, action.mark = Id{"00000000-0000-7000-8000-0000000000bb"};
  action.refdes = "U3", action.what = "replaced", action.words = "lifted pad mended";
  job.actions.push_back(action);
  if (fixed) {
    HandBack back;
    back.outcome = "fixed", back.at = job.opened_at;
    job.hand_back = back;
  }
  write(dir / "job.json", write_job({job, {}, {}, {}}));
}

void write_shop(const fs::path& shop, int jobs) {
  write_board(shop / "boards" / "greenhouse");
  for (int i = 0; i < jobs; ++i)
    write_job_folder(shop / "jobs" / ("2026-" + std::to_string(i)), i, i % 2 == 0 ? "does not switch on" : "display flickers", i % 3 != 0);
}

std::vector<Hit> hits(ShopIndex& index, const std::string& words, FindQuery query = {}) {
  query.words = words;
  Result<std::vector<Hit>> found = index.find(query);
  REQUIRE(found);
  return *found;
}

ShopIndex opened(const fs::path& file) {
  Result<ShopIndex> index = ShopIndex::open(file);
  INFO((index ? std::string{} : to_text(index.problem())));
  REQUIRE(index);
  return *std::move(index);
}

}  // namespace

TEST_CASE("jobs, boards and marks are found by the start of any word") {
  const TemporaryFolder folder;
  write_shop(folder.path / "shop", 10);
  ShopIndex index = opened(folder.path / "index" / "shop.sqlite");
  const Result<IndexReport> report = index.update({folder.path / "shop"});
  REQUIRE(report);
  CHECK(report->files == 11);
  CHECK(report->read == 11);
  CHECK(report->refused_count == 0);
  CHECK(hits(index, "flick").size() == 5);
  CHECK(hits(index, "FLICK disp").size() == 5);
  CHECK(hits(index, "flick switch").empty());
  CHECK(hits(index, "lifted pad").size() == 10);
  const std::vector<Hit> marks = hits(index, "hot regul");
  REQUIRE(marks.size() == 1);
  CHECK((marks[0].kind == HitKind::mark));
  CHECK(marks[0].refdes == "U3");
  CHECK(marks[0].id == "00000000-0000-7000-8000-0000000000bb");
  CHECK(hits(index, "4410").size() == 1);
  FindQuery query;
  query.refdes = "u3";
  CHECK(hits(index, "", query).size() == 11);
  query.refdes = "u33";
  CHECK(hits(index, "", query).empty());
  query = {};
  query.since = parse_rfc3339("2026-01-01T00:00:00Z");
  CHECK(hits(index, "lifted", query).size() == 5);
  query = {};
  query.board = "greenh";
  CHECK(hits(index, "", query).size() == 12);
  query.board = "other";
  CHECK(hits(index, "dead", query).empty());
  CHECK(hits(index, "").size() == 11);
}

TEST_CASE("a word that stands in a thousand jobs still brings the board and its mark, and the latest jobs first") {
  // Only the latest 500 jobs and marks are scored (shop_index.cpp): a board read before them must not fall out.
  const TemporaryFolder folder;
  write_shop(folder.path / "shop", 1200);
  ShopIndex index = opened(folder.path / "shop.sqlite");
  REQUIRE(index.update({folder.path / "shop"}));
  const std::vector<Hit> found = hits(index, "greenhouse", FindQuery{"", "", "", std::nullopt, 100});
  CHECK(found.size() == 100);
  CHECK(std::any_of(found.begin(), found.end(), [](const Hit& hit) { return hit.kind == HitKind::board; }));
  FindQuery marks{"", "", "u3", std::nullopt, 100};
  const std::vector<Hit> named = hits(index, "", marks);
  CHECK(std::any_of(named.begin(), named.end(), [](const Hit& hit) { return hit.kind == HitKind::mark; }));
  CHECK(hits(index, "lifted", FindQuery{"", "", "", std::nullopt, 1000}).size() == 1000);
  FindQuery old{"", "", "", parse_rfc3339("2026-01-01T00:00:00Z"), 10};
  CHECK(hits(index, "lifted", old).size() == 10);
  for (const Hit& hit : hits(index, "lifted", old)) CHECK(hit.excerpt == "replaced lifted pad mended");
}

TEST_CASE("nothing of the owner is in the index, and what a person types is never a query language") {
  const TemporaryFolder folder;
  write_shop(folder.path / "shop", 2);
  ShopIndex index = opened(folder.path / "shop.sqlite");
  REQUIRE(index.update({folder.path / "shop"}));
  CHECK(hits(index, "Ottilie").empty());
  CHECK(hits(index, "778899").empty());
  for (const char* wild : {"\"", "a\" OR \"b", "NEAR(", "*", "title:dead", "-", "'; DROP TABLE words;", "\xFF\xFE", "AND OR NOT"})
    CHECK(index.find(FindQuery{wild, wild, wild, std::nullopt, 50}));
}

TEST_CASE("only what changed is read again, and what is gone is dropped") {
  const TemporaryFolder folder;
  const fs::path shop = folder.path / "shop";
  write_shop(shop, 6);
  ShopIndex index = opened(folder.path / "shop.sqlite");
  REQUIRE(index.update({shop}));
  Result<IndexReport> report = index.refresh();
  REQUIRE(report);
  CHECK(report->files == 7);
  CHECK(report->read == 0);
  write_job_folder(shop / "jobs" / "2026-1", 1, "smells of burnt varnish", true);
  fs::remove_all(shop / "jobs" / "2026-2");
  write(shop / "jobs" / "broken" / "job.json", "{\"format\": \"boardlore-job\", ");
  report = index.refresh();
  REQUIRE(report);
  CHECK(report->read == 2);
  CHECK(report->dropped == 1);
  CHECK(report->refused_count == 1);
  CHECK(hits(index, "varnish").size() == 1);
  CHECK(hits(index, "switch").size() == 2);
  write_job_folder(shop / "jobs" / "2026-3", 3, "hums", true);
  REQUIRE(index.note_saved(shop / "jobs" / "2026-3"));
  CHECK(hits(index, "hums").size() == 1);
}

TEST_CASE("past jobs of a board come back with what they taught") {
  const TemporaryFolder folder;
  write_shop(folder.path / "shop", 9);
  ShopIndex index = opened(folder.path / "shop.sqlite");
  REQUIRE(index.update({folder.path / "shop"}));
  const Result<std::vector<PastJob>> jobs = index.past_jobs(Id{layer_id});
  REQUIRE(jobs);
  CHECK(jobs->size() == 9);
  const UsualFaults ranked = usual_faults(*jobs, "dead");
  CHECK(ranked.jobs == 9);
  CHECK(ranked.fixed_jobs == 6);
  REQUIRE(ranked.faults.size() == 1);
  CHECK(ranked.faults[0].cured == 6);
  CHECK(*index.symptoms(Id{layer_id}) == std::vector<std::string>{"dead"});
}

TEST_CASE("a damaged index is thrown away and built again from the folders it knew") {
  const TemporaryFolder folder;
  const fs::path file = folder.path / "shop.sqlite";
  write_shop(folder.path / "shop", 8);
  { REQUIRE(opened(file).update({folder.path / "shop"})); }
  const auto size = fs::file_size(file);
  // Each time another place: the header, the first page, the middle, a file cut short, no file at all.
  for (int damage = 0; damage < 6; ++damage) {
    CAPTURE(damage);
    for (const char* part : {"-wal", "-shm"}) fs::remove(file.string() + part);
    if (damage == 4) {
      fs::resize_file(file, size / 3);
    } else if (damage == 5) {
      write(file, "this was an index once");
    } else {
      std::fstream out(file, std::ios::in | std::ios::out | std::ios::binary);
      const std::size_t from = damage == 0 ? 0 : damage == 1 ? 100 : damage == 2 ? 4096 : static_cast<std::size_t>(size / 2);
      out.seekp(static_cast<std::streamoff>(from));
      const std::string rubbish(damage == 3 ? static_cast<std::size_t>(size) - from : 4000, '\xA5');
      out.write(rubbish.data(), static_cast<std::streamsize>(rubbish.size()));
    }
    ShopIndex index = opened(file);
    CHECK(hits(index, "flick").size() == 4);
    CHECK(hits(index, "u3").size() == 9);
    const Result<IndexReport> report = index.refresh();
    REQUIRE(report);
    CHECK(report->files == 9);
  }
}

TEST_CASE("two processes build and ask the same index at once") {
  const TemporaryFolder folder;
  const fs::path file = folder.path / "shop.sqlite";
  write_shop(folder.path / "shop", 60);
  std::vector<pid_t> children;
  for (int child = 0; child < 3; ++child) {
    const pid_t pid = fork();
    REQUIRE(pid >= 0);
    if (pid == 0) {
      // A child says by its exit code what went wrong; doctest stays with the parent.
      Result<ShopIndex> index = ShopIndex::open(file);
      if (!index) _exit(10);
      for (int round = 0; round < 5; ++round) {
        if (!index->update({folder.path / "shop"})) _exit(11);
        if (!index->note_saved(folder.path / "shop" / "jobs" / "2026-7")) _exit(12);
        const Result<std::vector<Hit>> found = index->find({"flick", "", "", std::nullopt, 100});
        if (!found) _exit(13);
        if (found->size() != 30) _exit(14);
      }
      _exit(0);
    }
    children.push_back(pid);
  }
  for (const pid_t pid : children) {
    int status = 0;
    REQUIRE(waitpid(pid, &status, 0) == pid);
    CHECK(WIFEXITED(status));
    CHECK(WEXITSTATUS(status) == 0);
  }
  ShopIndex index = opened(file);
  CHECK(hits(index, "flick", {"", "", "", std::nullopt, 100}).size() == 30);
}
