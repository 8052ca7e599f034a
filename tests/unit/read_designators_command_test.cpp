// boardlore read-designators as a person runs it: proposals as JSON, nothing placed unasked, refusals with the reason.
#include <doctest/doctest.h>

#include "alignment/designator_reader.h"
#include "storage/file_bytes.h"
#include "support/command_bench.h"
#include "support/photographed_board.h"

using namespace boardlore;
using nlohmann::json;

TEST_CASE("names are proposed as JSON, placed only where accepted, and not proposed again") {
  if (!can_read_designators()) {
    MESSAGE("skipped: built without Tesseract, or its English data is not there");
    return;
  }
  const CommandBench bench;
  // A piece with the row of transistors Q2 to Q4 and their resistors.
  const PhotographedBoard board = photograph_board(bench.tmp.path / "board", BoardPiece{52, 63, 74, 81});
  const std::string dir = shell_quoted(board.dir.string()), read = "read-designators " + dir + " piece.png";
  const std::string before = *read_file(board.dir / "layer.json");

  const json shown = bench.asked(read);
  INFO(shown.dump());
  CHECK(shown["photo"] == "piece.png");
  CHECK(shown["side"] == "top");
  CHECK(shown["placed"] == 0);
  CHECK(*read_file(board.dir / "layer.json") == before);
  const json& proposed = shown["proposed"];
  REQUIRE(proposed.size() >= 2);
  CHECK(shown["read"].get<std::size_t>() >= proposed.size());
  // Against the program that drew the board: what is on this piece, and how near the name stands to its part.
  int right = 0;
  const json truth = drawn_truth();
  for (const json& one : proposed) {
    CHECK(one["accepted"] == false);
    CHECK(one["confidence"].get<double>() >= least_designator_confidence);
    CHECK(one["confidence"].get<double>() <= 1);
    for (const json& part : truth["parts"])
      if (part["refdes"] == one["refdes"] && part["side"] == "top")
        right += std::hypot(part["at_mm"][0].get<double>() - board.left_mm - one["x_mm"].get<double>(), part["at_mm"][1].get<double>() - board.bottom_mm - one["y_mm"].get<double>()) < 6;
  }
  CHECK(right >= 2);

  const std::string first = proposed[0]["refdes"], second = proposed[1]["refdes"];
  bench.refuses(read + " --accept ZZ99", "ZZ99");
  bench.refuses(read + " --least 2", "--least");
  CHECK(*read_file(board.dir / "layer.json") == before);

  const json taken = bench.asked(read + " --accept " + first);
  CHECK(taken["placed"] == 1);
  CHECK(taken["proposed"][0]["accepted"] == true);
  const json marks = bench.asked("marks " + dir);
  CHECK(marks.dump().find("\"" + first + "\"") != std::string::npos);
  CHECK(marks.dump().find("\"" + second + "\"") == std::string::npos);

  const json rest = bench.asked(read + " --accept all --reject " + second);
  CHECK(rest["placed"].get<std::size_t>() == proposed.size() - 2);
  for (const json& one : rest["proposed"]) {
    CHECK(one["refdes"] != first);  // on the board already
    CHECK(one["accepted"] == (one["refdes"] != second));
  }
  const json end = bench.asked("marks " + dir);
  CHECK(end.dump().find("\"" + second + "\"") == std::string::npos);
}

TEST_CASE("a photo that is not laid on the board, that is not there, and a folder that is none are refused") {
  const CommandBench bench;
  const PhotographedBoard board = photograph_board(bench.tmp.path / "board", BoardPiece{52, 63, 74, 81}, false);
  const std::string dir = shell_quoted(board.dir.string());
  const std::string before = *read_file(board.dir / "layer.json");
  const RunResult unregistered = bench.run("read-designators " + dir + " piece.png --accept all");
  CHECK(unregistered.exit_code == 1);  // nothing wrong with what was asked: the photo wants registering first
  CHECK(unregistered.output.find("piece.png") != std::string::npos);
  CHECK(unregistered.output.find("boardlore register") != std::string::npos);
  bench.refuses("read-designators " + dir + " other.png", "other.png");
  bench.refuses("read-designators " + shell_quoted(bench.tmp.path.string()) + " piece.png", "layer.json");
  bench.refuses("read-designators " + dir, "PHOTO");
  CHECK(*read_file(board.dir / "layer.json") == before);
}
