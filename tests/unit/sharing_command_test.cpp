// What several people do with one layer, on the command line: merge, diff, settle, who, history, restore, privacy, each
// with its exit code and its words.
#include <doctest/doctest.h>

#include <fstream>

#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/folder.h"
#include "storage/presence.h"
#include "support/command_bench.h"
#include "support/small_layer.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

// A layer's file of its own.
std::string put(const CommandBench& bench, const char* name, const Layer& layer) {
  const fs::path file = bench.tmp.path / name;
  std::ofstream(file, std::ios::binary) << write_layer(layer);
  return shell_quoted(file.string());
}

Layer with_value(const Layer& layer, unsigned n, const char* value) {
  Mark mark = *layer.marks.find(numbered_id(n));
  mark.value = value;
  return with_mark(layer, mark);
}

std::string new_board(const CommandBench& bench) {
  const std::string dir = (bench.tmp.path / "b").string();
  bench.exits(0, "new board " + dir + " --maker Maker --model Model --revision A --size 100x60");
  return dir;
}

}  // namespace

TEST_CASE("merge: exit 1 with both values in the file where two disagree, 0 where not, and no side is first") {
  const CommandBench bench;
  const Layer base = small_layer();
  const std::string b = put(bench, "base", base), one = put(bench, "one", with_value(base, 10, "10n")), other = put(bench, "other", with_value(base, 11, "TX-1")),
                    against = put(bench, "against", with_value(base, 10, "22n"));
  const fs::path out = bench.tmp.path / "out.json", again = bench.tmp.path / "again.json";
  bench.exits(0, "merge " + b + " " + one + " " + other + " -o " + shell_quoted(out.string()));
  const Result<Layer> both = read_layer(*read_file(out), "out");
  REQUIRE(both);
  CHECK(both->marks.find(numbered_id(10))->value == "10n");
  CHECK(both->marks.find(numbered_id(11))->value == "TX-1");

  const auto told = bench.asked("merge " + b + " " + one + " " + against + " -o " + shell_quoted(out.string()), 1);
  REQUIRE(told["disputes"].size() == 1);
  CHECK(told["disputes"][0]["member"] == "/value");
  CHECK(told["disputes"][0]["one"] == "\"10n\"");
  CHECK(told["disputes"][0]["other"] == "\"22n\"");
  bench.exits(1, "merge " + b + " " + against + " " + one + " -o " + shell_quoted(again.string()));
  CHECK(*read_file(out) == *read_file(again));
  CHECK(read_file(out)->find("22n") != std::string::npos);

  // Over one of the three, as git does it; and nothing is written where a version can't be read.
  bench.exits(0, "merge " + b + " " + one + " " + other + " -o " + one);
  std::ofstream(bench.tmp.path / "bad") << "{";
  fs::remove(out);
  bench.refuses("merge " + b + " " + one + " " + shell_quoted((bench.tmp.path / "bad").string()) + " -o " + shell_quoted(out.string()), "expected");
  CHECK_FALSE(fs::exists(out));
}

TEST_CASE("diff: what changed in words, exit 1; nothing, exit 0; what is no layer is shown without its terminal codes") {
  const CommandBench bench;
  const Layer base = small_layer();
  Mark moved = *base.marks.find(numbered_id(10));
  moved.at.x_mm += 0.8;
  moved.limits[0].high = 3;
  Mark turned = *base.marks.find(numbered_id(11));
  turned.pin1 = Offset{1, 1};
  const std::string a = put(bench, "a", base), b = put(bench, "b", with_mark(with_mark(base, moved), turned));
  const RunResult words = bench.run("diff " + a + " " + b);
  CHECK(words.exit_code == 1);
  for (const char* line : {"C14 moved 0.8 mm\n", "C14: limit widened: ", "U3: pin 1 set\n"}) CHECK_MESSAGE(words.output.find(line) != std::string::npos, words.output);
  bench.exits(0, "diff " + a + " " + a);
  CHECK(bench.asked("diff " + a + " " + b, 1)["changes"].size() == 3);
  const fs::path no_layer = bench.tmp.path / "job.json";
  std::ofstream(no_layer) << "first\tline\x1b[2J\nsecond\n";
  const RunResult shown = bench.run("diff --text " + shell_quoted(no_layer.string()));
  CHECK(shown.exit_code == 0);
  CHECK(shown.output.find('\x1b') == std::string::npos);
  CHECK(shown.output.find("\\x1B[2J\nsecond\n") != std::string::npos);
}

TEST_CASE("who: those that have the folder open, and nobody afterwards") {
  const CommandBench bench;
  const std::string dir = new_board(bench);
  CHECK(bench.run("who " + dir).output == "nobody has it open\n");
  {
    const Presence ann(dir, "Ann", Timestamp{1'700'000'000'000});
    const RunResult seen = bench.run("who " + dir);
    CHECK(seen.exit_code == 0);
    CHECK(seen.output == "Ann  since 2023-11-14T22:13:20Z  on this machine\n");
    const auto told = bench.asked("who " + dir);
    REQUIRE(told["open"].size() == 1);
    CHECK(told["open"][0]["who"] == "Ann");
    CHECK(told["open"][0]["this_machine"] == true);
  }
  CHECK(bench.asked("who " + dir)["open"].empty());
  bench.refuses("who " + dir + "/nowhere", "no such folder");
}

TEST_CASE("history and restore: every save can be had back, and the state before it too") {
  const CommandBench bench;
  const std::string dir = new_board(bench);
  CHECK(bench.run("history " + dir).output == "no earlier version yet: one is kept with every save\n");
  bench.exits(0, "mark add " + dir + " --kind probe --side top --at 10,20 --refdes TP1");
  bench.exits(0, "mark add " + dir + " --kind probe --side top --at 30,20 --refdes TP2");
  const auto versions = bench.asked("history " + dir)["versions"];
  REQUIRE(versions.size() == 2);
  CHECK(versions[0]["holds"] == "0 marks, 0 photos");
  CHECK(versions[1]["holds"] == "1 mark, 0 photos");
  const std::string with_one = versions[1]["version"].dump();
  const auto back = bench.asked("restore " + dir + " " + with_one);
  CHECK(back["marks"] == 1);
  CHECK(bench.run("marks " + dir).output.find("TP2") == std::string::npos);
  bench.exits(0, "restore " + dir + " " + back["before"].dump());
  CHECK(bench.run("marks " + dir).output.find("TP2") != std::string::npos);
  bench.refuses("restore " + dir + " 99", "version");
}

TEST_CASE("privacy: lists what is private with its place and exits 1; nothing after the export") {
  const CommandBench bench;
  const std::string dir = new_board(bench), job = (bench.tmp.path / "j").string(), out = (bench.tmp.path / "out" / "layer.json").string();
  bench.exits(0, "new job " + job + " --board " + dir + " --reported dead --unit SN-4711 --owner 'Orla Petrie'");
  bench.exits(0, "mark add " + job + " --kind probe --side top --at 10,20 --refdes TP1");
  bench.exits(0, "log " + job + " 'TP1 note seen on SN-4711 of Orla Petrie'");
  const RunResult found = bench.run("privacy " + job);
  CHECK(found.exit_code == 1);
  CHECK(found.output.find("job.json") != std::string::npos);
  bench.exits(0, "export " + job + " -o " + out);
  const Result<std::string> shared = read_file(out);
  REQUIRE(shared);
  for (const char* secret : {"4711", "Orla", "Petrie", "Tester"}) CHECK_MESSAGE(shared->find(secret) == std::string::npos, secret);
  CHECK(shared->find("TP1") != std::string::npos);
  bench.exits(0, "privacy " + shell_quoted(out));
}
