// Every command of the main job on a real photo of a real board: the first of ../shared/photos where a checkout
// has them beside it, else the board.jpg among the samples of Debian's package opencv-doc; else skipped. The
// frame is made up (20 px are 1 mm), so that what locate answers is known by arithmetic alone.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "pictures/photo_file.h"
#include "support/places.h"
#include "support/run_program.h"
#include "support/temporary_folder.h"

using namespace boardlore;
using Json = nlohmann::json;

namespace {

std::filesystem::path real_photo() {
  std::error_code none;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(places::shared_dir() / "photos", none)) {
    const std::string kind = entry.path().extension().string();
    if (kind == ".jpg" || kind == ".jpeg" || kind == ".JPG") return entry.path();
  }
  const std::filesystem::path sample = "/usr/share/doc/opencv-doc/examples/data/board.jpg";
  return std::filesystem::exists(sample) ? sample : std::filesystem::path();
}

constexpr double px_per_mm = 20;

}  // namespace

TEST_CASE("every command of the main job works on a real photo") {
  const std::filesystem::path photo = real_photo();
  if (photo.empty()) {
    MESSAGE("skipped: no real photo beside this checkout or in opencv-doc");
    return;
  }
  const auto opened = probe_picture(photo);
  REQUIRE(opened);
  const double width = opened->width_px, height = opened->height_px;
  TemporaryFolder tmp;
  const auto dir = [&](const char* name) { return shell_quoted((tmp.path / name).string()); };
  const auto done = [&](const std::string& arguments) {
    const RunResult run = run_boardlore(arguments);
    CHECK_MESSAGE(run.exit_code == 0, arguments << "\n" << run.output);
    return run.output;
  };
  std::filesystem::copy_file(photo, tmp.path / "a.jpg");
  done("new board " + dir("board") + " --maker Made --model Up --revision 1 --top " + dir("a.jpg"));
  // Five points, y up: the made-up frame.
  const auto points_file = [&](const char* name) {
    Json points = Json::array();
    for (const auto& [u, v] : {std::pair{0.1, 0.1}, std::pair{0.9, 0.12}, std::pair{0.88, 0.9}, std::pair{0.1, 0.85}, std::pair{0.5, 0.4}})
      points.push_back({{"photo_px", {u * width, v * height}}, {"board_mm", {u * width / px_per_mm, (1 - v) * height / px_per_mm}}});
    std::ofstream(tmp.path / name) << points;
    return dir(name);
  };
  const Json fit = Json::parse(done("register " + dir("board") + " a.jpg --json --points " + points_file("p.json")));
  CHECK(fit.at("model") == "homography");
  CHECK(fit.at("px_per_mm").get<double>() == doctest::Approx(px_per_mm).epsilon(1e-6));
  CHECK(fit.at("rms_mm").get<double>() < 1e-9);
  char at[80];
  std::snprintf(at, sizeof at, "%.6f,%.6f", 0.3 * width / px_per_mm, 0.6 * height / px_per_mm);
  done("mark add " + dir("board") + " --kind part --side top --refdes U1 --at " + at);
  done("mark add " + dir("board") + " --kind keepout --side top --reason heat --radius 2 --at 3,3");
  CHECK(Json::parse(done("marks " + dir("board") + " --json")).size() == 2);
  done("new job " + dir("job") + " --board " + dir("board") + " --reported 'made up'");
  done("photo add " + dir("job") + " " + dir("a.jpg") + " --side top --stage intake");
  // A later photo is the same picture here; what is checked is the way through files and frames.
  done("register " + dir("job") + " a.jpg --json --points " + points_file("q.json"));
  const Json place = Json::parse(done("locate " + dir("job") + " U1 --photo a.jpg --json"));
  CHECK(place.at("photo_px")[0].get<double>() == doctest::Approx(0.3 * width).epsilon(1e-6));
  CHECK(place.at("photo_px")[1].get<double>() == doctest::Approx(0.4 * height).epsilon(1e-6));
  CHECK(place.at("inside") == true);
  char px[80];
  std::snprintf(px, sizeof px, "%.3f,%.3f", 0.3 * width, 0.4 * height);
  const Json nearest = Json::parse(done("locate " + dir("job") + " --photo a.jpg --json --px " + px));
  CHECK(nearest.at("nearest").at("refdes") == "U1");
  CHECK(nearest.at("nearest").at("distance_mm").get<double>() < 1e-3);
  done("log " + dir("job") + " 'U1.1 0.452 V diode'");
  done("draw " + dir("job") + " --photo a.jpg -o " + dir("overlay.png"));
  done("export " + dir("job") + " -o " + dir("shared/layer.json"));
  done("check " + dir("shared/layer.json") + " " + dir("board") + " " + dir("job"));
  const auto drawn = probe_picture(tmp.path / "overlay.png");
  REQUIRE(drawn);
  CHECK(drawn->width_px == opened->width_px);
  CHECK(drawn->height_px == opened->height_px);
}

TEST_CASE("a real photo cut short, or no photo at all, is refused with its name and what was expected") {
  const std::filesystem::path photo = real_photo();
  if (photo.empty()) {
    MESSAGE("skipped: no real photo beside this checkout or in opencv-doc");
    return;
  }
  TemporaryFolder tmp;
  const std::string board = shell_quoted((tmp.path / "board").string());
  REQUIRE(run_boardlore("new board " + board + " --maker Made --model Up --revision 1").exit_code == 0);
  std::ifstream in(photo, std::ios::binary);
  std::string bytes((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  std::ofstream(tmp.path / "cut.jpg", std::ios::binary) << bytes.substr(0, bytes.size() / 3);
  std::ofstream(tmp.path / "text.jpg") << "not a picture";
  for (const char* name : {"cut.jpg", "text.jpg", "absent.jpg"}) {
    const RunResult run = run_boardlore("photo add " + board + " " + shell_quoted((tmp.path / name).string()) + " --side top");
    CHECK_MESSAGE(run.exit_code == 2, name << ": " << run.output);
    CHECK(run.output.find(name) != std::string::npos);
    CHECK(run.output.find("expected") != std::string::npos);
  }
}
