// The main job on the command line, step for step, on the demo board; what it answers is held against the
// picture program's own record of where it drew things (boards/brackenwick-gc12/later-unit/truth.json).
#include <doctest/doctest.h>

#include <cmath>
#include <fstream>

#include "geometry/pins.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/json_text.h"
#include "support/places.h"
#include "support/run_program.h"
#include "support/temporary_folder.h"

using namespace boardlore;
using storage::Json;

namespace {

const std::string board = (places::source_dir() / "boards/brackenwick-gc12").string();

Json truth() { return Json::parse(*read_file(board + "/later-unit/truth.json")); }

PhotoPoint drawn_at(const Json& photo, BoardPoint p) {
  const auto h = photo.at("photo_from_board").get<std::array<double, 9>>();
  return *PhotoFromBoard{h}(p);
}

const Json& photo_of(const Json& all, const std::string& file) {
  for (const Json& photo : all.at("photos"))
    if (photo.at("file") == file) return photo;
  FAIL("no photo " << file);
  return all;
}

}  // namespace

TEST_CASE("the main job: a later unit's photos carry every mark in its place") {
  const TemporaryFolder tmp;
  const std::string job = (tmp.path / "job").string();
  const std::string unit = board + "/later-unit/";
  REQUIRE(run_boardlore("new job " + job + " --board " + board + " --reported dead --owner 'Somebody Private' --unit SN-55 " + unit + "later_top.jpg").exit_code == 0);
  REQUIRE(run_boardlore("photo add " + job + " " + unit + "later_bottom.jpg --side bottom").exit_code == 0);
  REQUIRE(run_boardlore("register " + job + " later_top.jpg --points " + unit + "fiducials_later_top.json").exit_code == 0);
  const RunResult bottom = run_boardlore("register " + job + " later_bottom.jpg --json --points " + unit + "fiducials_later_bottom.json");
  REQUIRE(bottom.exit_code == 0);
  CHECK(Json::parse(bottom.output).at("mirrored") == true);

  const Json all = truth();
  double worst_px = 0;
  for (const char* side : {"top", "bottom"}) {
    const std::string file = std::string("later_") + side + ".jpg";
    const Json& photo = photo_of(all, "later-unit/" + file);
    for (const Json& part : all.at("parts")) {
      if (part.at("side") != side) continue;
      const std::string refdes = part.at("refdes");
      if (refdes.size() < 2 || refdes.back() % 3 != 0) continue;  // a third of them: each is a process
      const RunResult answer = run_boardlore("locate " + job + " " + refdes + " --json --photo " + file);
      REQUIRE_MESSAGE(answer.exit_code == 0, answer.output);
      const Json json = Json::parse(answer.output);
      const auto at = part.at("at_mm").get<std::array<double, 2>>();
      const PhotoPoint expected = drawn_at(photo, {at[0], at[1]});
      const double off_px = std::hypot(json["photo_px"][0].get<double>() - expected.x_px, json["photo_px"][1].get<double>() - expected.y_px);
      CHECK_MESSAGE(off_px < json["error_px"].get<double>(), refdes);  // the error figure is honest
      worst_px = std::max(worst_px, off_px);
    }
  }
  MESSAGE("worst mark: " << worst_px << " px from where it was drawn");
  CHECK(worst_px < 2);  // picks are off by up to 0.6 px an axis

  REQUIRE(run_boardlore("mark add " + job + " --kind part --side top --at 50,50 --refdes C99 --note 'runs warm'").exit_code == 0);
  REQUIRE(run_boardlore("log " + job + " 'BT1 3.2V'").exit_code == 0);
  const std::string out = (tmp.path / "out/layer.json").string();
  REQUIRE(run_boardlore("export " + job + " -o " + out).exit_code == 0);
  const std::string exported = *read_file(out);
  CHECK(exported.find("C99") != std::string::npos);
  CHECK(exported.find("runs warm") != std::string::npos);
  for (const char* secret : {"Somebody Private", "SN-55", "3.2V", "typed", "later_top"})
    CHECK_MESSAGE(exported.find(std::string("\"") + secret) == std::string::npos, secret);
  CHECK(run_boardlore("check " + out + " " + job).exit_code == 0);

  // The next job starts from it.
  const std::string next = (tmp.path / "next").string();
  REQUIRE(run_boardlore("new job " + next + " --board " + (tmp.path / "out").string() + " --reported dead").exit_code == 0);
  CHECK(run_boardlore("marks " + next).output.find("C99") != std::string::npos);

  const std::string png = (tmp.path / "overlay.png").string();
  REQUIRE(run_boardlore("draw " + job + " --photo later_top.jpg -o " + png).exit_code == 0);
  CHECK(std::filesystem::file_size(png) > 100000);
}

TEST_CASE("SOURCE_DATE_EPOCH makes the main job repeat to the byte") {
  std::string documents[2];
  for (std::string& document : documents) {
    const TemporaryFolder tmp;
    const std::string in = "cd " + tmp.path.string() + " && cp -r " + board + " b && SOURCE_DATE_EPOCH=1790000000 " + places::program().string() + " ";
    REQUIRE(run_shell(in + "new job j --board b --reported dead b/later-unit/later_top.jpg").exit_code == 0);
    const std::string again = "cd " + tmp.path.string() + " && SOURCE_DATE_EPOCH=1790000000 " + places::program().string() + " ";
    REQUIRE(run_shell(again + "mark add j --kind note --side top --at 1,2 --text x").exit_code == 0);
    REQUIRE(run_shell(again + "mark add j --kind note --side top --at 1,2 --text x").exit_code == 0);
    REQUIRE(run_shell(again + "log j 'BT1 3.2V'").exit_code == 0);
    document = *read_file(tmp.path / "j/job.json");
  }
  CHECK(documents[0] == documents[1]);
  CHECK(documents[0].find("\"text\": \"x\"") != documents[0].rfind("\"text\": \"x\""));
}

TEST_CASE("pins computed from the demo layer lie on the lands that were drawn") {
  const Result<Layer> layer = read_layer(*read_file(board + "/layer.json"), "layer.json");
  REQUIRE(layer);
  std::size_t pins_checked = 0;
  const Json all = truth();
  for (const Json& part : all.at("parts")) {
    for (const MarkPtr& mark : layer->marks.all()) {
      if (mark->refdes != part.at("refdes") || !mark->package) continue;
      const Result<std::vector<Pin>> pins = pins_of(*mark);
      REQUIRE_MESSAGE(pins, mark->refdes);
      REQUIRE(pins->size() == part.at("pads_mm").size());
      for (std::size_t i = 0; i < pins->size(); ++i) {
        const auto pad = part.at("pads_mm")[i].get<std::array<double, 2>>();
        CHECK_MESSAGE(distance_mm((*pins)[i].at, {pad[0], pad[1]}) < 0.3, mark->refdes << "." << (*pins)[i].name);
        ++pins_checked;
      }
    }
  }
  CHECK(pins_checked > 350);
}

TEST_CASE("rubbish is answered with exit 2, a sentence, and nothing lost") {
  const TemporaryFolder tmp;
  const std::string b = (tmp.path / "b").string();
  REQUIRE(run_boardlore("new board " + b + " --maker M --model X --revision A --size 50x40").exit_code == 0);
  const std::string before = *read_file(b + "/layer.json");
  std::ofstream(tmp.path / "rubbish.jpg") << "not a picture";
  const std::string rubbish = (tmp.path / "rubbish.jpg").string();
  for (const std::string& arguments :
       {"new board " + b + " --maker M --model X --revision A", "photo add " + b + " " + rubbish + " --side top",
        "photo add " + b + " /nonexistent.jpg --side top", "register " + b + " x.jpg --points -  < /dev/null", "mark add " + b + " --kind part --side top --at 1",
        "mark add " + b + " --kind part --side top --at nan,1", "mark add " + b + " --kind part --side top --at 1,2 --refdes '../../x'",
        "mark add " + b + " --kind keepout --side top --at 1,2", "mark remove " + b + " U9", "locate " + b + " U1 --photo x", "marks " + rubbish,
        std::string("nonsense"), "export " + b, std::string("marks"), "new board " + (tmp.path / "c").string() + " --maker M --model X --revision A --size 0x5"}) {
    const RunResult answer = run_boardlore(arguments);
    CHECK_MESSAGE(answer.exit_code == 2, arguments << ": " << answer.output);
    CHECK_FALSE(answer.output.empty());
  }
  CHECK(*read_file(b + "/layer.json") == before);
  for (const char* help : {"--help", "new board --help", "mark add --help", "register --help", "export --help"}) CHECK(run_boardlore(help).exit_code == 0);
}
