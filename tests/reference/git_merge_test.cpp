// Real git (Debian's) with several clones that edit at random: pull merges layers with no hand on them, every
// accepted edit arrives everywhere, and what two people disagree on stops the merge with both values kept.
#include <doctest/doctest.h>

#include <cstdio>
#include <map>
#include <random>

#include "storage/folder.h"
#include "support/run_program.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

Session session(std::uint64_t seed) {
  Session s;
  s.clock = [seed] { return Timestamp{1'700'000'000'000 + static_cast<std::int64_t>(seed)}; };
  s.ids = std::make_shared<IdSource>(seed + 1, 5);
  return s;
}

// No configuration but the clone's own, whatever the machine has.
RunResult git(const fs::path& dir, const std::string& words) {
  return run_shell("cd " + shell_quoted(dir.string()) +
                   " && GIT_CONFIG_GLOBAL=/dev/null GIT_CONFIG_SYSTEM=/dev/null GIT_AUTHOR_NAME=T GIT_AUTHOR_EMAIL=t@example.org"
                   " GIT_COMMITTER_NAME=T GIT_COMMITTER_EMAIL=t@example.org git -c init.defaultBranch=main " +
                   words + " 2>&1");
}

void must(const RunResult& run) { REQUIRE_MESSAGE(run.exit_code == 0, run.output); }

Mark part(const Session& s, const std::string& refdes, BoardPoint at) {
  Mark mark;
  mark.id = s.new_id();
  mark.kind = MarkKind::part;
  mark.refdes = refdes;
  mark.at = at;
  return mark;
}

// A shop's repository in `shop.git` and clones of it that know the merge driver.
std::vector<fs::path> clones(const fs::path& tmp, int count) {
  const fs::path first = tmp / "clone0";
  Session s = session(1);
  {
    Result<Folder> board = Folder::create_board(first / "board", Board{"Maker", "Model", "A", 100.0, 60.0, {}, {}}, s);
    REQUIRE(board);
    for (int i = 0; i < 12; ++i) REQUIRE(board->commit(PlaceMark{part(s, "C" + std::to_string(i + 1), {double(i) * 3, 5})}));
    REQUIRE(board->save());
  }
  must(git(tmp, "init -q --bare shop.git"));
  must(git(first, "init -q ."));
  must(run_boardlore("git-setup " + shell_quoted(first.string())));
  must(git(first, "add -A"));
  must(git(first, "commit -q -m start"));
  must(git(first, "remote add origin ../shop.git"));
  must(git(first, "push -q -u origin main"));
  std::vector<fs::path> all{first};
  for (int i = 1; i < count; ++i) {
    must(git(tmp, "clone -q -b main shop.git clone" + std::to_string(i)));
    all.push_back(tmp / ("clone" + std::to_string(i)));
    must(run_boardlore("git-setup " + shell_quoted(all.back().string())));
  }
  return all;
}

}  // namespace

TEST_CASE("three clones edit at random, pull and push: all edits of all are everywhere, with no dispute") {
  const TemporaryFolder tmp;
  const std::vector<fs::path> all = clones(tmp.path, 3);
  std::mt19937_64 dice(5);
  std::size_t pulls = 0, placed = 12;
  std::map<std::string, double> turned;  // what each clone alone writes: its own marks' rotation
  for (std::uint64_t round = 0; round < 6; ++round)
    for (std::size_t who = 0; who < all.size(); ++who) {
      Result<Folder> board = Folder::open(all[who] / "board", session(100 + round * 10 + who));
      REQUIRE(board);
      const std::vector<MarkPtr> marks = board->now().layer->marks.all();
      // Each works on every third mark, and all on another member of the first.
      Mark mark = *marks[1 + who + 3 * (dice() % 3)];
      mark.rotation_deg = static_cast<double>(dice() % 360);
      turned[mark.refdes] = mark.rotation_deg;
      REQUIRE(board->commit(ChangeMark{mark, ""}));
      Mark shared = *marks[0];
      (who == 0 ? shared.value : who == 1 ? shared.text : shared.advice) = "round " + std::to_string(round);
      REQUIRE(board->commit(ChangeMark{shared, ""}));
      const std::string name = "N" + std::to_string(round * 10 + who + 100);
      REQUIRE(board->commit(PlaceMark{part(board->session(), name, {double(who) * 30 + 1, double(round) * 9 + 11})}));
      ++placed;
      REQUIRE(board->save());
      must(git(all[who], "add -A"));
      must(git(all[who], "commit -q -m edit"));
      if (dice() % 2 == 0 || round == 5) {
        must(git(all[who], dice() % 2 == 0 ? "pull -q --no-rebase --no-edit" : "pull -q --rebase"));
        must(git(all[who], "push -q"));
        ++pulls;
      }
    }
  std::string same;
  for (const fs::path& clone : all) {
    must(git(clone, "pull -q --no-rebase --no-edit"));
    Result<Folder> board = Folder::open(clone / "board", session(9));
    REQUIRE(board);
    const Layer& layer = *board->now().layer;
    CHECK(layer.disputes.empty());
    CHECK(layer.marks.size() == placed);
    for (const auto& [refdes, rotation_deg] : turned) CHECK(find_marks(layer, refdes).at(0)->rotation_deg == rotation_deg);
    const std::string text = git(clone, "hash-object board/layer.json").output;
    if (same.empty()) same = text;
    CHECK(text == same);
  }
  std::printf("  3 clones, %zu marks placed, %zu pulls\n", placed, pulls);
}

TEST_CASE("a disagreement stops git's merge; the file holds both values, and a choice settles it") {
  const TemporaryFolder tmp;
  const std::vector<fs::path> all = clones(tmp.path, 2);
  const char* values[] = {"10n", "22n"};
  for (std::size_t who = 0; who < 2; ++who) {
    Result<Folder> board = Folder::open(all[who] / "board", session(50 + who));
    Mark mark = *find_marks(*board->now().layer, "C3").at(0);
    mark.value = values[who];
    REQUIRE(board->commit(ChangeMark{mark, ""}));
    REQUIRE(board->save());
    must(git(all[who], "commit -q -a -m value"));
  }
  must(git(all[0], "push -q"));
  CHECK(git(all[1], "pull -q --no-rebase --no-edit").exit_code != 0);
  const std::string folder = shell_quoted((all[1] / "board").string());
  const RunResult listed = run_boardlore("settle " + folder);
  CHECK(listed.exit_code == 1);
  CHECK(listed.output.find("C3: value: one 10n | other 22n") != std::string::npos);
  must(run_boardlore("settle " + folder + " 1 --take other"));
  CHECK(run_boardlore("settle " + folder).exit_code == 0);
  must(git(all[1], "add -A"));
  must(git(all[1], "commit -q --no-edit"));
  // Against their side, in words.
  CHECK(git(all[1], "diff HEAD^2 -- board/layer.json").output.find("+C3: value: 22n") != std::string::npos);
}
