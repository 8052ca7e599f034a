// index, find, usual-faults and symptom as a person runs them; the index follows what is saved.
#include <doctest/doctest.h>

#include <cstdlib>
#include <fstream>
#include <nlohmann/json.hpp>

#include "support/run_program.h"
#include "support/temporary_folder.h"

using namespace boardlore;
using nlohmann::json;

namespace {

struct Shop {
  TemporaryFolder tmp;
  std::string dir = tmp.path.string(), board = dir + "/shop/boards/g1";
  std::string index = "BOARDLORE_INDEX='" + dir + "/cache/shop.sqlite'";

  RunResult run(const std::string& arguments) const { return run_boardlore(arguments, index); }
  void must(const std::string& arguments) const {
    const RunResult result = run(arguments);
    INFO(arguments);
    INFO(result.output);
    REQUIRE(result.exit_code == 0);
  }
  json asked(const std::string& arguments) const {
    const RunResult result = run(arguments + " --json");
    INFO(result.output);
    const json answer = json::parse(result.output, nullptr, false);
    REQUIRE(answer.is_object());
    return answer;
  }
  std::string job(int n) const { return dir + "/shop/jobs/job-" + std::to_string(n); }

  Shop() {
    std::filesystem::create_directories(dir + "/shop/jobs");
    must("new board " + board + " --maker Tallow --model G1 --revision A --size 100x80");
    must("mark add " + board + " --kind part --side top --at 20,20 --refdes U3 --note 'regulator runs hot'");
    must("mark add " + board + " --kind part --side top --at 40,20 --refdes C7");
    must("symptom " + board + " dead");
    must("symptom " + board + " 'no display'");
  }
  // A job that `refdes` cured.
  void cured(int n, const std::string& symptom, const std::string& refdes) const {
    must("new job " + job(n) + " --board " + board + " --reported 'does not start, says Mr Private' --symptom '" + symptom + "' --owner 'Ottilie Private'");
    must("action add " + job(n) + " " + refdes + " replaced");
    must("hand-back " + job(n) + " --outcome fixed --reason test");
  }
};

}  // namespace

TEST_CASE("the index is built, follows every save, and finds boards, jobs and marks") {
  const Shop shop;
  CHECK(shop.run("find regul").exit_code == 1);  // no index yet
  const json built = shop.asked("index " + shop.dir + "/shop");
  CHECK(built["documents"] == 1);
  CHECK(built["read"] == 1);
  const json marks = shop.asked("find regul");
  REQUIRE(marks["hits"].size() == 1);
  CHECK(marks["hits"][0]["kind"] == "mark");
  CHECK(marks["hits"][0]["refdes"] == "U3");
  // Nobody says `index` again: new jobs, notes and marks are there at once.
  shop.must("new job " + shop.job(1) + " --board " + shop.board + " --reported 'hums when warm'");
  CHECK(shop.asked("find hums")["hits"][0]["kind"] == "job");
  shop.must("mark add " + shop.board + " --kind part --side top --at 60,20 --refdes Q9 --note varnished");
  CHECK(shop.asked("find varn")["hits"][0]["refdes"] == "Q9");
  CHECK(shop.asked("find --board tallow --refdes q9")["hits"].size() == 1);
  CHECK(shop.asked("find hums --since 2001")["hits"].size() == 1);
  CHECK(shop.run("find hums --since 2999").exit_code == 1);
  CHECK(shop.run("find hums --since yesterday").exit_code == 2);
  CHECK(shop.run("find nothing-like-it").exit_code == 1);
}

TEST_CASE("a damaged index is built again in the middle of a question") {
  const Shop shop;
  shop.must("index " + shop.dir + "/shop");
  std::ofstream(shop.dir + "/cache/shop.sqlite", std::ios::binary | std::ios::trunc) << "not a database at all, and long enough to be looked at";
  for (const char* part : {"-wal", "-shm"}) std::filesystem::remove(shop.dir + "/cache/shop.sqlite" + part);
  CHECK(shop.asked("find regul")["hits"].size() == 1);
}

TEST_CASE("usual faults are ranked with their interval, and few jobs are called few") {
  const Shop shop;
  shop.must("index " + shop.dir + "/shop");
  for (int n = 0; n < 4; ++n) shop.cured(n, n % 2 == 0 ? "dead" : "Dead.", "U3");
  shop.cured(5, "dead", "C7");
  shop.cured(6, "no display", "C7");
  const json ranked = shop.asked("usual-faults " + shop.board + " --symptom dead");
  INFO(ranked.dump(1));
  CHECK(ranked["own"]["jobs"] == 5);
  CHECK(ranked["own"]["counted_jobs"] == 5);
  CHECK(ranked["own"]["few"] == false);
  REQUIRE(ranked["own"]["faults"].size() == 2);
  CHECK(ranked["own"]["faults"][0]["refdes"] == "U3");
  CHECK(ranked["own"]["faults"][0]["cured"] == 4);
  // Wilson, 4 of 5: 0.3755 to 0.9638 (computed in statsmodels, proportion_confint(4, 5, method="wilson")).
  CHECK(ranked["own"]["faults"][0]["share_low"].get<double>() == doctest::Approx(0.37553463));
  CHECK(ranked["own"]["faults"][0]["share_high"].get<double>() == doctest::Approx(0.96377587));
  CHECK(shop.asked("usual-faults " + shop.board + " --symptom 'no display'")["own"]["few"] == true);
  CHECK(shop.run("usual-faults " + shop.board + " --symptom smokes").output.find("no display") != std::string::npos);
  CHECK(shop.run("usual-faults " + shop.job(0) + " --symptom dead").output.find("U3 replaced: 4 of 5 jobs, 38 to 96 %") != std::string::npos);

  // Out of the shop go counts, and nothing else of the jobs.
  const std::string out = shop.dir + "/out/layer.json";
  shop.must("export " + shop.job(0) + " -o " + out);
  std::ifstream in(out);
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  const json layer = json::parse(text);
  REQUIRE(layer["faults"].size() == 3);
  CHECK(text.find("Private") == std::string::npos);
  CHECK(text.find("job-") == std::string::npos);
  CHECK(shop.run("privacy " + out).exit_code == 0);
  // Exporting writes nothing into the board's own layer.
  std::ifstream own(shop.board + "/layer.json");
  CHECK(json::parse(own).value("faults", json::array()).empty());
  // Another shop sees them apart from its own.
  const std::string other = "BOARDLORE_INDEX='" + shop.dir + "/cache/other.sqlite'";
  const RunResult there = run_boardlore("usual-faults " + shop.dir + "/out --symptom dead --json", other);
  const json shared = json::parse(there.output);
  CHECK(shared["own"]["jobs"] == 0);
  CHECK(shared["shared"]["jobs"] == 5);
  CHECK(shared["shared"]["faults"][0]["cured"] == 4);
}

TEST_CASE("counts that went to another shop and came back are still this shop's own") {
  const Shop shop;
  shop.must("index " + shop.dir + "/shop");
  for (int n = 0; n < 3; ++n) shop.cured(n, "dead", "U3");
  shop.must("export " + shop.job(0) + " -o " + shop.dir + "/away/boards/tallow/layer.json");

  // The other shop: a library, jobs and an index of its own, on the layer it was given.
  const std::string away = shop.dir + "/away", cache = "BOARDLORE_INDEX='" + away + "/shop.sqlite'";
  const auto there = [&](const std::string& words) {
    const RunResult result = run_boardlore(words, cache);
    INFO(words << "\n" << result.output);
    CHECK(result.exit_code <= 1);
    return result.output;
  };
  there("index " + away);
  there("new job " + away + "/jobs/one --board " + away + "/boards/tallow --reported dead --symptom dead");
  there("action add " + away + "/jobs/one U3 replaced");
  there("hand-back " + away + "/jobs/one --outcome fixed --reason test");
  CHECK(json::parse(there("usual-faults " + away + "/boards/tallow --symptom dead --json"))["own"]["jobs"] == 1);
  there("export " + away + "/jobs/one -o " + shop.dir + "/back/layer.json");

  // Back at the first, as a newer version of the board's layer.
  const std::string mine = shop.board + "/layer.json";
  shop.must("merge " + mine + " " + mine + " " + shop.dir + "/back/layer.json -o " + mine);
  const json now = shop.asked("usual-faults " + shop.board + " --symptom dead");
  INFO(now.dump(1));
  CHECK(now["own"]["jobs"] == 3);
  CHECK(now["shared"]["jobs"] == 1);
  REQUIRE(now["shared"]["faults"].size() == 1);
  CHECK(now["shared"]["faults"][0]["cured"] == 1);
  // And out again: three of ours once, one of theirs.
  shop.must("export " + shop.job(0) + " -o " + shop.dir + "/again/layer.json");
  const json again = json::parse(run_boardlore("usual-faults " + shop.dir + "/again --symptom dead --json", "BOARDLORE_INDEX='" + shop.dir + "/third.sqlite'").output);
  CHECK(again["shared"]["jobs"] == 4);
  CHECK(again["shared"]["faults"][0]["cured"] == 4);
}

TEST_CASE("a job's symptom is spelled as the list has it") {
  const Shop shop;
  shop.must("new job " + shop.job(1) + " --board " + shop.board + " --reported 'black screen'");
  CHECK(shop.asked("symptom " + shop.job(1) + " 'No  Display'")["symptom"] == "no display");
  CHECK(shop.asked("symptom " + shop.job(1))["symptoms"] == json{"dead", "no display"});
  CHECK(shop.asked("symptom " + shop.job(1) + " x --drop")["symptom"] == "");
  CHECK(shop.asked("symptom " + shop.board + " Dead --drop")["symptoms"] == json{"no display"});
  CHECK(shop.run("symptom " + shop.board + " unheard --drop").exit_code == 1);
}
