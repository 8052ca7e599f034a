// boardlore import and marks-csv as a person runs them: from a file to marks on a board, with what is refused.
#include <doctest/doctest.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "support/run_program.h"
#include "support/temporary_folder.h"

using namespace boardlore;

namespace {

struct Bench {
  TemporaryFolder tmp;
  std::string board = (tmp.path / "board").string();
  Bench() { REQUIRE(run_boardlore("new board " + board + " --maker Tallow --model G1 --revision A --size 100x80").exit_code == 0); }
  std::string file(const std::string& name, const std::string& text) const {
    std::ofstream(tmp.path / name, std::ios::binary) << text;
    return (tmp.path / name).string();
  }
  nlohmann::json marks() const {
    const RunResult answer = run_boardlore("marks " + board + " --json");
    REQUIRE(answer.exit_code == 0);
    return nlohmann::json::parse(answer.output);
  }
};

const char* const table = "Designator,Value,Package,X (mm),Y (mm),Rotation,Side\nC1,100n,0603,10,20,90,Top\nR2,10k,0402,12.7,5.08,0,Bottom\n"
                          "U3,TX-4410,SOIC-8,25.4,30.48,270,Top\nJ9,,,here,30,0,Top\n";

}  // namespace

TEST_CASE("a table is shown, then taken; again it changes nothing") {
  const Bench bench;
  const std::string list = bench.file("list.csv", table);
  const std::string import = "import " + list + " --into " + bench.board + " --frame same";
  const RunResult shown = run_boardlore(import + " --dry-run --json");
  INFO(shown.output);
  REQUIRE(shown.exit_code == 0);
  const auto plan = nlohmann::json::parse(shown.output);
  CHECK(plan["rows"] == 3);
  CHECK(plan["added"] == nlohmann::json{"C1", "R2", "U3"});
  CHECK(plan["taken"] == false);
  CHECK(plan["refused_count"] == 1);
  CHECK(plan["refused"][0]["line"] == 5);
  CHECK(run_boardlore("marks " + bench.board).output.find("U3") == std::string::npos);

  const RunResult taken = run_boardlore(import);
  CHECK(taken.exit_code == 0);
  CHECK(taken.output.find("taken: 3 new") != std::string::npos);
  CHECK(taken.output.find("line 5 not taken") != std::string::npos);
  CHECK(run_boardlore("marks " + bench.board).output.find("U3") != std::string::npos);
  CHECK(run_boardlore(import).output.find("0 new, 0 changed, 3 as they were") != std::string::npos);
}

TEST_CASE("a list in another frame is tied by places said, and refused where they do not fit") {
  const Bench bench;
  const std::string list = bench.file("list.csv", table);
  // Turned a quarter: (x, y) of the list is (50 - y, 10 + x) on the board.
  const RunResult taken = run_boardlore("import " + list + " --into " + bench.board + " --mirror no --tie C1=30,20 --tie R2=44.92,22.7 --json");
  INFO(taken.output);
  REQUIRE(taken.exit_code == 0);
  const auto plan = nlohmann::json::parse(taken.output);
  CHECK(std::abs(plan["tie"]["rms_mm"].get<double>()) < 1e-6);
  CHECK(std::abs(plan["tie"]["scale"].get<double>() - 1) < 1e-9);
  CHECK(std::abs(plan["tie"]["turn_deg"].get<double>() - 90) < 1e-6);
  const RunResult csv = run_boardlore("marks-csv " + bench.board);
  CHECK(csv.output.find("U3,top,19.52,35.4") != std::string::npos);

  const std::string other = " --into " + bench.board + " --mirror no --tie C1=30,20 --tie R2=44.92,22.7 --tie U3=60,60";
  const RunResult refused = run_boardlore("import " + list + other);
  CHECK(refused.exit_code == 1);
  CHECK(refused.output.find("nothing was taken") != std::string::npos);
  CHECK(run_boardlore("import " + bench.file("free.csv", "Ref,X,Y\nQ1,1,1\nQ2,3,3\n") + " --into " + bench.board).exit_code == 1);
}

TEST_CASE("a netlist puts nets on the pins of the parts that are there") {
  const Bench bench;
  REQUIRE(run_boardlore("import " + bench.file("list.csv", table) + " --into " + bench.board + " --frame same").exit_code == 0);
  // IPC-D-356 records; the units and columns are held against the published layout in import_netlist_test.
  const std::string netlist = bench.file("board.ipc",
                                         "C  test\nP  UNITS CUST 1\n"
                                         "327GND              C1    -1          A01X+009500Y+020000\n"
                                         "327+5V              C1    -2          A01X+010500Y+020000\n"
                                         "327GND              R2    -1          A02X+012200Y+005080\n"
                                         "327+5V              R2    -2          A02X+013200Y+005080\n"
                                         "399this is no record of the layout\n999\n");
  const RunResult taken = run_boardlore("import " + netlist + " --into " + bench.board + " --json");
  INFO(taken.output);
  REQUIRE(taken.exit_code == 0);
  const auto plan = nlohmann::json::parse(taken.output);
  CHECK(plan["kind"] == "netlist");
  CHECK(plan["rows"] == 4);
  CHECK(plan["changed"] == nlohmann::json{"C1", "R2"});
  std::ifstream in(bench.board + "/layer.json");
  const auto layer = nlohmann::json::parse(in);
  int with_nets = 0;
  for (const auto& mark : layer["marks"])
    if (mark.contains("nets") && mark["nets"]["1"] == "GND" && mark["nets"]["2"] == "+5V") ++with_nets;
  CHECK(with_nets == 2);
}

TEST_CASE("marks go out as CSV and come back onto another board") {
  const Bench bench, other;
  REQUIRE(run_boardlore("import " + bench.file("list.csv", table) + " --into " + bench.board + " --frame same").exit_code == 0);
  const std::string csv = (bench.tmp.path / "marks.csv").string();
  REQUIRE(run_boardlore("marks-csv " + bench.board + " --out " + csv).exit_code == 0);
  CHECK(run_boardlore("import " + csv + " --kind points --into " + other.board).output.find("taken: 3 new") != std::string::npos);
  CHECK(other.marks().dump().find("TX-4410") != std::string::npos);
}

TEST_CASE("what is no list, a folder that is no board and words that mean nothing are refused with the reason") {
  const Bench bench;
  const std::string list = bench.file("list.csv", table);
  const RunResult picture = run_boardlore("import " + bench.file("x.png", std::string("\x89PNG\r\n\x1a\n\0\0", 10)) + " --into " + bench.board);
  CHECK(picture.exit_code == 2);
  CHECK(picture.output.find("x.png") != std::string::npos);
  CHECK(run_boardlore("import " + list + " --into " + bench.tmp.path.string()).exit_code == 2);
  CHECK(run_boardlore("import /no/such/list --into " + bench.board).exit_code != 0);
  CHECK(run_boardlore("import " + list + " --into " + bench.board + " --tie C1").exit_code == 2);
  CHECK(run_boardlore("import " + list + " --into " + bench.board + " --tie Z9=1,2").exit_code == 2);
  CHECK(run_boardlore("import " + list + " --into " + bench.board + " --units furlong").exit_code == 2);
  CHECK(run_boardlore("import " + list).exit_code == 2);
}
