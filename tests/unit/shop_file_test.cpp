// The shop's own packages and step lists: kept beside the boards from the command line, used on every board, safe
// against two people keeping at once, a damaged file and a newer one; an action's steps changed while it runs.
#include <doctest/doctest.h>

#include <fstream>
#include <thread>

#include "judging/package_table.h"
#include "judging/step_lists.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/shop_file.h"
#include "support/command_bench.h"

using namespace boardlore;
using nlohmann::json;

namespace {

struct Bench : CommandBench {
  std::string boards = tmp.path.string() + "/boards", one = boards + "/one", two = boards + "/two", job = tmp.path.string() + "/jobs/job", shop = boards + "/shop.json";

  Bench() {
    std::filesystem::create_directories(boards);
    std::filesystem::create_directories(tmp.path / "jobs");
    for (const std::string& board : {one, two}) exits(0, "new board " + board + " --maker Tallow --model G1 --revision A --size 100x80");
    exits(0, "part set " + one + " U3 --package QFP --pins 36 --pitch 0.65 --body 8x8 --at 40,30");
    exits(0, "new job " + job + " --board " + one + " --reported dead");
  }
};

}  // namespace

TEST_CASE("package: kept once, used on every board, dropped again") {
  const Bench bench;
  const json kept = bench.asked("package keep " + bench.job + " U3 --name 'Tallow quad'");
  CHECK(kept["name"] == "Tallow quad");
  CHECK(kept["own"] == true);
  CHECK(std::filesystem::exists(bench.shop));
  CHECK(check_document(*read_file(bench.shop), "shop.json").empty());
  bench.exits(0, "check " + bench.boards);
  const json placed = bench.asked("part set " + bench.two + " U9 --package 'tallow QUAD' --at 50,40");
  CHECK(placed["package"] == "Tallow quad");
  const json pins = bench.asked("pins " + bench.two + " U9");
  REQUIRE(pins.size() == 36);
  // By hand: nine pins a side at 0.65 mm, so pin 1 stands 4 pitches above the middle of the left row.
  CHECK(pins[0]["board_mm"][1].get<double>() == doctest::Approx(40 + 4 * 0.65));
  // What is said beside the name wins.
  CHECK(bench.asked("part set " + bench.two + " U10 --package 'Tallow quad' --pitch 0.5 --at 70,40")["package"] == "Tallow quad");
  CHECK(bench.asked("pins " + bench.two + " U10")[0]["board_mm"][1].get<double>() == doctest::Approx(40 + 4 * 0.5));
  const json own = bench.asked("package list " + bench.two + " --own");
  REQUIRE(own.size() == 1);
  CHECK(own[0]["pins"] == 36);
  CHECK_FALSE(own[0]["source"].get<std::string>().empty());
  CHECK(bench.asked("package list " + bench.two).size() > 90);
  CHECK(bench.asked("package list " + bench.two + " --find soic-8").size() == 1);
  for (const json& row : bench.asked("package list " + bench.two)) CHECK_FALSE(row["source"].get<std::string>().empty());

  bench.refuses("package keep " + bench.job + " U77", "U77");
  bench.exits(0, "mark add " + bench.one + " --kind part --side top --at 10,10 --refdes R1");
  bench.refuses("package keep " + bench.one + " R1", "a part with a package");
  bench.refuses("package keep " + bench.job + " U3 --name '--'", "");
  bench.refuses("package drop " + bench.one + " wood", "Tallow quad");
  bench.exits(0, "package drop " + bench.one + " 'Tallow quad'");
  CHECK(bench.asked("package list " + bench.two + " --own").empty());
  CHECK(bench.asked("pins " + bench.two + " U9").size() == 36);  // parts keep it
}

TEST_CASE("steps: a built-in list changed for the shop, one of its own, an action started from it") {
  const Bench bench;
  const json lists = bench.asked("steps list " + bench.one);
  REQUIRE(lists.size() == 4);
  bench.exits(0, "steps set " + bench.job + " quad-air --step shield --step heat --step lift --step 'nudge every pin'");
  const json changed = bench.asked("steps list " + bench.two);
  REQUIRE(changed.size() == 4);
  for (const json& list : changed)
    if (list["key"] == "quad-air") {
      CHECK(list["own"] == true);
      CHECK(list["title"] == "quad-flat or dual-row part by hot air");
      CHECK(list["steps"] == json{"shield", "heat", "lift", "nudge every pin"});
    }
  CHECK(bench.asked("steps set " + bench.one + " flat-cable --title 'flat cable' --step tape --step unlatch")["own"] == true);
  CHECK(bench.asked("steps list " + bench.one).size() == 5);
  const json started = bench.asked("action add " + bench.job + " U3 replaced --steps usual");
  CHECK(started["steps"].size() == 4);
  bench.refuses("steps set " + bench.one + " 'two words' --step a", "letters, digits and dashes");
  bench.refuses("steps set " + bench.one + " empty", "1 to 100 steps");
  bench.refuses("steps drop " + bench.one + " wood", "flat-cable");
  bench.refuses("action add " + bench.job + " U3 replaced --steps wood", "flat-cable");
  CHECK(bench.asked("steps drop " + bench.one + " quad-air")["built_in"] == true);
  CHECK(bench.asked("steps drop " + bench.one + " flat-cable")["built_in"] == false);
  CHECK(bench.asked("steps list " + bench.one) == lists);
}

TEST_CASE("action steps: changed while it runs; what is done keeps its time and its photo") {
  const Bench bench;
  bench.exits(0, "photo add " + bench.job + " " + (places::source_dir() / "boards/brackenwick-gc12/later-unit/later_before.jpg").string() + " --side top");
  bench.exits(0, "action add " + bench.job + " U3 replaced --steps quad-air");
  bench.exits(0, "action step " + bench.job + " U3 flux --at 2026-03-04T10:20:00Z --photo later_before.jpg");
  const json changed = bench.asked("action steps " + bench.job + " U3 flux heat lift 'tin the pads' inspect");
  REQUIRE(changed["steps"].size() == 5);
  CHECK(changed["steps"][0]["done_at"] == "2026-03-04T10:20:00Z");
  CHECK(changed["steps"][0].contains("photo"));
  CHECK(changed["steps"][3]["name"] == "tin the pads");
  CHECK(changed["steps"][3]["done_at"].is_null());
  bench.refuses("action steps " + bench.job + " U3 heat lift", "\"flux\", which is done");
  bench.refuses("action steps " + bench.job + " U77 heat", "U77");
  bench.refuses("action step " + bench.job + " U3 heat --at noon", "--at");
  CHECK(bench.asked("action list " + bench.job)[0]["steps"].size() == 5);
}

TEST_CASE("steps changed: the order, what is new, what goes; a step that occurs twice keeps what was done") {
  const Timestamp at{1000};
  const std::vector<Step> now{{"clean", at, Id{}}, {"lift", std::nullopt, {}}, {"clean", std::nullopt, {}}};
  const auto changed = steps_changed(now, {"shield", "clean", "clean"});
  REQUIRE(changed);
  REQUIRE(changed->size() == 3);
  CHECK((*changed)[1].done_at == at);
  CHECK_FALSE((*changed)[2].done_at);
  CHECK_FALSE(steps_changed(now, {"lift"}));
  CHECK_FALSE(steps_changed(now, {"clean", ""}));
  CHECK_FALSE(steps_changed({}, std::vector<std::string>(101, "x")));
}

TEST_CASE("the shop's file: two at once both keep, a damaged or newer one is refused and left alone") {
  const TemporaryFolder tmp;
  const std::filesystem::path file = tmp.path / "shop.json";
  CHECK(shop_file_beside(tmp.path / "boards" / "one" / "") == tmp.path / "boards" / "shop.json");
  CHECK(shop_file_beside({}).empty());
  REQUIRE(load_shop({}));
  CHECK_FALSE(change_shop({}, [](Shop&) { return Result<Done>(Done{}); }));
  REQUIRE(load_shop(file));
  CHECK(*load_shop(file) == Shop{});
  const auto keep_many = [&](const std::string& name) {
    for (int i = 0; i < 20; ++i) {
      const auto kept = change_shop(file, [&](Shop& shop) { return keep_step_list(shop, {name + std::to_string(i), "", {"lift"}, {}}); });
      if (!kept) return;
    }
  };
  std::thread other(keep_many, "b");
  keep_many("a");
  other.join();
  REQUIRE(load_shop(file));
  CHECK(load_shop(file)->step_lists.size() == 40);
  // The same shop is the same bytes, and a member this version does not know survives.
  std::string text = *read_file(file);
  CHECK(write_shop(*read_shop(text, "shop.json")) == text);
  text.insert(text.find("\"step_lists\""), "\"colour\": \"blue\",\n ");
  std::ofstream(file) << text;
  REQUIRE(change_shop(file, [](Shop& shop) { return drop_step_list(shop, "a0"); }));
  CHECK(read_file(file)->find("\"colour\": \"blue\"") != std::string::npos);
  for (const char* broken : {"{", "{\"format\": \"boardlore-shop\", \"version\": \"2.0\"}", "{\"format\": \"boardlore-layer\", \"version\": \"1.0\"}",
                             "{\"format\": \"boardlore-shop\", \"version\": \"1.0\", \"packages\": [{\"family\": \"quad\", \"name\": \"X\", \"pins\": 2000000000, \"pitch_mm\": 1}]}",
                             "{\"format\": \"boardlore-shop\", \"version\": \"1.0\", \"step_lists\": [{\"key\": \"x y\", \"steps\": [\"a\"]}]}"}) {
    CAPTURE(broken);
    std::ofstream(file) << broken;
    CHECK_FALSE(load_shop(file));
    CHECK_FALSE(change_shop(file, [](Shop& shop) { return keep_step_list(shop, {"z", "", {"lift"}, {}}); }));
    CHECK(*read_file(file) == broken);
    CHECK_FALSE(check_document(broken, "shop.json").empty());
  }
}
