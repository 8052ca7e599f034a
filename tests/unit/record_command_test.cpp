// Hand-back, addendum, reopen and `photo set` as a person runs them, and what the record then shows of a photo.
#include <doctest/doctest.h>

#include "pictures/encode.h"
#include "pictures/photo_file.h"
#include "storage/file_bytes.h"
#include "support/command_bench.h"

using namespace boardlore;
using nlohmann::json;
namespace fs = std::filesystem;

namespace {

constexpr int width_px = 320, height_px = 200;

// Red left of column 160, blue right of it; yellow below row 150.
void write_flag(const fs::path& file) {
  Raster raster{width_px, height_px, {}};
  for (int y = 0; y < height_px; ++y)
    for (int x = 0; x < width_px; ++x) {
      const bool yellow = y >= 150, red = x < 160;
      for (const int value : {yellow || red ? 220 : 20, yellow ? 220 : 20, yellow || red ? 20 : 220, 255}) raster.rgba.push_back(static_cast<std::uint8_t>(value));
    }
  REQUIRE(write_jpeg(file, raster, 95));
}

// RFC 4648 section 4.
std::string from_base64(std::string_view text) {
  static const std::string letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string bytes;
  std::uint32_t held = 0;
  int bits = 0;
  for (const char c : text) {
    const std::size_t value = letters.find(c);
    if (value == std::string::npos) break;
    held = held << 6U | static_cast<std::uint32_t>(value);
    bits += 6;
    if (bits >= 8) bytes += static_cast<char>(held >> static_cast<unsigned>(bits -= 8) & 255U);
  }
  return bytes;
}

std::vector<Raster> pictures_in(const std::string& html) {
  const std::string start = "data:image/jpeg;base64,";
  std::vector<Raster> pictures;
  for (std::size_t at = html.find(start); at != std::string::npos; at = html.find(start, at + 1)) {
    const std::size_t from = at + start.size();
    const std::string jpeg = from_base64(std::string_view(html).substr(from, html.find('"', from) - from));
    const Result<Raster> picture = decode_memory(std::as_bytes(std::span(jpeg)), "in the record");
    REQUIRE(picture);
    pictures.push_back(*picture);
  }
  return pictures;
}

struct Bench : CommandBench {
  std::string board = tmp.path.string() + "/board", job = tmp.path.string() + "/job", photo = job + "/photos/flag.jpg";

  Bench() {
    exits(0, "new board " + board + " --maker Tallow --model G1 --revision A --size 100x80");
    exits(0, "mark add " + board + " --kind part --side top --at 20,20 --refdes U3");
    exits(0, "limit set " + board + " U3.7 --quantity diode --low 0.40 --high 0.60 --source 'known good unit'");
    write_flag(tmp.path / "flag.jpg");
    exits(0, "new job " + job + " --board " + board + " --reported dead " + (tmp.path / "flag.jpg").string());
  }
  std::string html() const {
    exits(0, "record " + job + " -o " + tmp.path.string() + "/record.html --for shop");
    return *read_file(tmp.path / "record.html");
  }
};

}  // namespace

TEST_CASE("photo set: the record shows the photo cut and turned, and its file is not touched") {
  const Bench bench;
  const std::string before = *read_file(bench.photo);
  CHECK(before == *read_file(bench.tmp.path / "flag.jpg"));
  REQUIRE(pictures_in(bench.html()).size() == 1);
  CHECK(pictures_in(bench.html())[0].width_px == width_px);
  // Red over yellow, cut out on the left; clockwise by 90 degrees yellow comes to lie left of red.
  bench.exits(0, "photo set " + bench.job + " flag.jpg --crop 20,110,60,80 --turn 90 --note 'burnt pad' --stage during --link U3");
  const std::string html = bench.html();
  const std::vector<Raster> shown = pictures_in(html);
  REQUIRE(shown.size() == 1);
  CHECK(shown[0].width_px == 80);
  CHECK(shown[0].height_px == 60);
  CHECK(int(shown[0].pixel(10, 30)[1]) > 150);  // yellow
  CHECK(int(shown[0].pixel(70, 30)[0]) > 150);
  CHECK(int(shown[0].pixel(70, 30)[1]) < 100);  // red
  CHECK(int(shown[0].pixel(70, 30)[2]) < 100);
  CHECK(html.find("burnt pad") != std::string::npos);
  CHECK(*read_file(bench.photo) == before);
  bench.refuses("photo set " + bench.job + " flag.jpg --crop 20,110", "X,Y,WIDTH,HEIGHT");
  bench.refuses("photo set " + bench.job + " other.jpg --turn 90", "photo");
}

TEST_CASE("hand-back lists what is open and wants a reason; closed, the job takes an addendum and nothing else; reopening leaves a trace") {
  const Bench bench;
  bench.exits(0, "photo set " + bench.job + " flag.jpg --stage before");
  bench.exits(0, "log " + bench.job + " 'U3.7 0.1 V diode'");
  bench.exits(0, "action add " + bench.job + " U3 replaced");
  const json open = bench.asked("hand-back " + bench.job + " --outcome fixed --warranty-months 12", 1);
  CHECK(open["closed"] == false);
  const std::string said = open["open"].dump();
  for (const char* point : {"U3.7 last read", "no photo from after"}) CHECK_MESSAGE(said.find(point) != std::string::npos, said);
  const RunResult closed = bench.run("hand-back " + bench.job + " --outcome not-fixed --warranty-months 12 --reason 'owner fetched it'");
  CHECK(closed.exit_code == 0);
  CHECK(closed.output.find("boardlore learn") != std::string::npos);  // what it taught is offered to the layer
  const json document = json::parse(*read_file(fs::path(bench.job) / "job.json"));
  CHECK(document["hand_back"]["reason"] == "owner fetched it");
  CHECK(document["hand_back"]["warranty_months"] == 12);
  // Read-only now.
  for (const std::string& change : {"log " + bench.job + " 'U3.7 0.5 V diode'", "action add " + bench.job + " U3 cleaned", "photo set " + bench.job + " flag.jpg --turn 90",
                                    "hand-back " + bench.job + " --outcome fixed"}) {
    CAPTURE(change);
    CHECK(bench.run(change).exit_code == 2);
  }
  CHECK(json::parse(*read_file(fs::path(bench.job) / "job.json")) == document);
  bench.exits(0, "addendum " + bench.job + " 'owner called: still dead'");
  const json added = json::parse(*read_file(fs::path(bench.job) / "job.json"))["addenda"];
  REQUIRE(added.size() == 1);
  CHECK(added[0]["text"] == "owner called: still dead");
  CHECK(added[0]["by"] == "Tester");
  CHECK(added[0].contains("at"));
  bench.exits(0, "reopen " + bench.job + " --reason 'came back'");
  const json again = json::parse(*read_file(fs::path(bench.job) / "job.json"));
  CHECK_FALSE(again.contains("hand_back"));
  CHECK(again["earlier_hand_backs"].size() == 1);
  CHECK(bench.html().find("came back") != std::string::npos);
  bench.exits(0, "action add " + bench.job + " U3 cleaned");
  bench.refuses("reopen " + bench.job + " --reason again", "handed back");
}
