// Every accepted edit survives a killed process: a child commits edits and reports each accepted one over a
// pipe; it is killed at random moments (while it edits, saves, opens, recovers), 200 times; afterwards every
// reported edit must be there, once.
#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdio>
#include <map>
#include <random>

#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/folder.h"
#include "support/temporary_folder.h"

using namespace boardlore;

namespace {

Session session(std::uint64_t seed) {
  Session s;
  s.clock = [seed] { return Timestamp{1'700'000'000'000 + static_cast<std::int64_t>(seed) * 1000}; };
  s.ids = std::make_shared<IdSource>(seed * 2 + 1, 77);
  return s;
}

struct Report {  // one accepted edit, written to the pipe in one piece
  char what;     // 'p'laced, 'm'oved, 'r'eading, 'n'ote, 'd'elay of nothing: never
  char id[36];
  double x_mm;
};

[[noreturn]] void edit_until_killed(const std::filesystem::path& dir, std::uint64_t round, int pipe_end) {
  const Session s = session(round);
  Result<Folder> folder = Folder::open(dir, s);
  if (!folder) ::_exit(9);
  std::mt19937_64 dice(round);
  std::vector<Id> mine;
  for (int step = 0;; ++step) {
    Report report{};
    Id id = s.new_id();
    Edit edit = RemoveMark{};
    const auto roll = dice() % 4;
    if (mine.empty() || roll == 0) {
      Mark mark;
      mark.id = id;
      mark.kind = MarkKind::probe;
      mark.refdes = "TP" + std::to_string(step);
      report.what = 'p';
      edit = PlaceMark{mark};
      mine.push_back(id);
    } else if (roll == 1 || !folder->is_job()) {
      id = mine.back();
      report.what = 'm';
      report.x_mm = step;
      edit = MoveMark{id, {double(step), 3}};
    } else if (roll == 2) {
      Reading reading;
      reading.id = id;
      reading.mark = mine.back();
      reading.value = step;
      report.what = 'r';
      edit = AddReadings{{reading}};
    } else {
      Note note;
      note.id = id;
      note.text = "step " + std::to_string(step);
      report.what = 'n';
      edit = AddJobNote{note};
    }
    if (!folder->commit(edit)) ::_exit(8);
    std::snprintf(report.id, sizeof report.id, "%s", id.text.substr(0, 35).c_str());
    report.id[35] = id.text.back();
    if (::write(pipe_end, &report, sizeof report) != sizeof report) ::_exit(7);
    if (dice() % 4 == 0 && !folder->save()) ::_exit(6);
  }
}

struct Accepted {
  std::map<std::string, double> marks;  // id -> least x that was reported
  std::vector<std::string> readings, notes;
  std::size_t edits = 0;
};

void read_reports(int pipe_end, std::size_t at_most, Accepted& accepted) {
  Report report{};
  for (std::size_t i = 0; i < at_most && ::read(pipe_end, &report, sizeof report) == sizeof report; ++i) {
    const std::string id(report.id, 36);
    ++accepted.edits;
    if (report.what == 'p') accepted.marks.emplace(id, 0.0);
    if (report.what == 'm') accepted.marks[id] = std::max(accepted.marks[id], report.x_mm);
    if (report.what == 'r') accepted.readings.push_back(id);
    if (report.what == 'n') accepted.notes.push_back(id);
  }
}

template <class List>
std::size_t missing(const std::vector<std::string>& wanted, const List& list) {
  std::map<std::string, int> count;
  for (const auto& one : list) ++count[one.id.text];
  std::size_t lost = 0;
  for (const std::string& id : wanted) lost += count[id] == 1 ? 0U : 1U;
  for (const auto& [id, times] : count) lost += times > 1 ? 1U : 0U;
  return lost;
}

std::size_t lost_edits(const Snapshot& now, const Accepted& accepted) {
  std::size_t lost = 0;
  for (const auto& [id, x_mm] : accepted.marks) {
    const MarkPtr mark = now.layer->marks.find(Id{id});
    lost += mark && mark->at.x_mm >= x_mm ? 0U : 1U;
  }
  if (now.job) lost += missing(accepted.readings, now.job->readings) + missing(accepted.notes, now.job->notes);
  return lost;
}

void kill_again_and_again(const std::filesystem::path& dir, int rounds, std::uint64_t seed) {
  std::mt19937_64 dice(seed);
  Accepted accepted;
  std::size_t recoveries = 0, lost = 0;
  for (int round = 0; round < rounds; ++round) {
    int ends[2];
    REQUIRE(::pipe(ends) == 0);
    const pid_t child = ::fork();
    REQUIRE(child >= 0);
    if (child == 0) {
      ::close(ends[0]);
      edit_until_killed(dir, seed + static_cast<std::uint64_t>(round), ends[1]);
    }
    ::close(ends[1]);
    // Some are killed while opening, the rest after a few edits, a little later than the last report.
    if (round % 5 != 0) read_reports(ends[0], 1 + dice() % 12, accepted);
    ::usleep(static_cast<useconds_t>(dice() % 4000));
    REQUIRE(::kill(child, SIGKILL) == 0);
    int status = 0;
    REQUIRE(::waitpid(child, &status, 0) == child);
    CHECK(WIFSIGNALED(status));
    read_reports(ends[0], 1'000'000, accepted);
    ::close(ends[0]);

    Result<Folder> folder = Folder::open(dir, session(seed + 10'000 + static_cast<std::uint64_t>(round)));
    REQUIRE_MESSAGE(folder, to_text(folder.problem()));
    for (const std::string& remark : folder->remarks()) recoveries += remark.find("recovered") != std::string::npos;
    lost += lost_edits(folder->now(), accepted);
    CHECK(lost == 0);
    if (round % 3 == 0) REQUIRE(folder->save());  // else the next child recovers it in turn
  }
  std::printf("  killed %d times, %zu edits accepted, %zu recoveries, %zu lost\n", rounds, accepted.edits, recoveries, lost);
  CHECK(accepted.edits > static_cast<std::size_t>(rounds));
  CHECK(recoveries > static_cast<std::size_t>(rounds) / 4);
}

}  // namespace

TEST_CASE("killed at random moments, a board keeps every accepted edit") {
  const TemporaryFolder tmp;
  REQUIRE(Folder::create_board(tmp.path / "b", Board{"Maker", "Model", "A", 100.0, 60.0, {}, {}}, session(1)));
  kill_again_and_again(tmp.path / "b", 100, 1000);
}

TEST_CASE("killed at random moments, a job keeps every accepted edit, each once") {
  const TemporaryFolder tmp;
  REQUIRE(Folder::create_board(tmp.path / "b", Board{"Maker", "Model", "A", 100.0, 60.0, {}, {}}, session(1)));
  REQUIRE(Folder::create_job(tmp.path / "j", tmp.path / "b", Job{}, session(2)));
  kill_again_and_again(tmp.path / "j", 100, 5000);
}
