// The shop's memory by hand: one box finds boards, jobs and marks as typed; the find stage begins with what usually
// fails and leads to it; a dropped list is shown before it is taken; a pin lights its net on both sides.
#include <doctest/doctest.h>

#include <fstream>

#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "support/places.h"
#include "window/hands.h"

using namespace boardlore;

namespace {

const std::filesystem::path demo = places::source_dir() / "boards" / "brackenwick-gc12";

void lay_out_shop(const std::filesystem::path& library) {
  const auto board = library / "boards" / "gc12";
  std::filesystem::create_directories(board);
  for (const char* file : {"layer.json", "top.jpg", "bottom.jpg"}) std::filesystem::copy_file(demo / file, board / file);
  const Result<Layer> layer = read_layer(*read_file(board / "layer.json"), "layer.json");
  REQUIRE(layer);
  const auto id_of = [&](const char* refdes) {
    Id id;
    layer->marks.each([&](const MarkPtr& mark) {
      if (mark->refdes == refdes) id = mark->id;
    });
    return id;
  };
  for (int n = 0; n < 9; ++n) {
    Job job;
    char id[40];
    std::snprintf(id, sizeof id, "00000000-0000-7000-8000-%012d", n + 1);
    job.id = Id{id};
    job.board = BoardLink{layer->id, "../../boards/gc12", layer->board.maker, layer->board.model, layer->board.revision};
    job.reported = n == 4 ? "smells of burnt varnish" : "does not start";
    job.symptom = n == 8 ? "" : "dead";
    job.opened_at = Timestamp{1'700'000'000'000 + std::int64_t{n} * 86'400'000};
    if (n != 8) {
      Action action;
      action.id = job.id, action.mark = id_of(n < 6 ? "C3" : "F1"), action.refdes = n < 6 ? "C3" : "F1", action.what = "replaced", action.at = job.opened_at;
      job.actions.push_back(action);
      job.hand_back = HandBack{};
      job.hand_back->outcome = "fixed", job.hand_back->at = job.opened_at;
    }
    const auto dir = library / "jobs" / ("2023-11-" + std::to_string(14 + n));
    std::filesystem::create_directories(dir);
    std::ofstream(dir / "job.json", std::ios::binary) << write_job(JobDocument{job, {}, {}, {}});
  }
}

MarkPtr shown(Hands& hands) { return hands.app().desk_view()->snapshot.layer->marks.find(hands.app().state().shown); }

void shop(int width, int height) {
  Hands hands(width, height, "shop");
  REQUIRE(hands.settle());
  const auto library = hands.home() / "library";
  lay_out_shop(library);
  // Whoever comes back to the start page finds the shop read.
  hands.app().open(library / "jobs" / "2023-11-22");
  REQUIRE(hands.settle());
  hands.click("home");
  REQUIRE(hands.settle());
  REQUIRE_FALSE(hands.app().desk_view()->open);

  // One box: a job by a word of what was reported, a mark by its designator.
  hands.click("library-filter");
  hands.type("burn");
  REQUIRE(hands.settle());
  CHECK(hands.on_screen("hit-job-0"));
  hands.shoot("01-start-page");
  for (int i = 0; i < 4; ++i) hands.key(XK_BackSpace);
  hands.type("c3 bracken");
  REQUIRE(hands.settle());
  hands.shoot("02-marks");
  int row = 0;
  while (row < 12 && !hands.on_screen("hit-mark-" + std::to_string(row))) ++row;
  hands.click("hit-mark-" + std::to_string(row));
  REQUIRE(hands.settle());
  REQUIRE(hands.app().desk_view()->open);
  REQUIRE(shown(hands));
  CHECK(shown(hands)->refdes == "C3");
  hands.shoot("03-mark");

  // The same box on the bench: this board's marks, and the shop beneath.
  hands.click("search");
  hands.type("varn");
  REQUIRE(hands.settle());
  CHECK(hands.on_screen("hit-job-0"));
  hands.shoot("04-bench-search");
  hands.click("hit-job-0");
  REQUIRE(hands.settle());
  CHECK(hands.app().desk_view()->dir.filename() == "2023-11-18");

  // A unit comes in; its symptom is chosen as typed, and what cured it before leads to the part.
  hands.click("home");
  REQUIRE(hands.settle());
  hands.app().open(library / "jobs" / "2023-11-22");
  REQUIRE(hands.settle());
  hands.click("stage-Find");
  REQUIRE(hands.settle());
  hands.click("symptom");
  hands.type("de");
  REQUIRE(hands.settle());
  hands.shoot("05-symptom");
  hands.click("symptom-dead");
  REQUIRE(hands.settle());
  CHECK(hands.app().desk_view()->snapshot.job->symptom == "dead");
  hands.shoot("06-usual-faults");
  REQUIRE(hands.on_screen("fault-C3 replaced"));
  CHECK(hands.on_screen("shared-fault-C3 replaced"));
  hands.click("fault-C3 replaced");
  REQUIRE(hands.settle());
  REQUIRE(shown(hands));
  CHECK(shown(hands)->refdes == "C3");

  // A netlist dropped on the board: shown first, taken on one click, then a net is lit.
  const MarkPtr u3 = [&] {
    MarkPtr found;
    hands.app().desk_view()->snapshot.layer->marks.each([&](const MarkPtr& mark) {
      if (mark->refdes == "U3") found = mark;
    });
    return found;
  }();
  REQUIRE(u3);
  hands.click("home");
  REQUIRE(hands.settle());
  hands.app().open(library / "boards" / "gc12");
  REQUIRE(hands.settle());
  std::string netlist = "P  UNITS CUST 1\n";
  const auto record = [&](const std::string& net, const std::string& refdes, const std::string& pin, BoardPoint at, bool bottom) {
    char line[100];
    std::snprintf(line, sizeof line, "327%-14s   %-6s-%-4s       A0%dX%+07dY%+07d\n", net.c_str(), refdes.c_str(), pin.c_str(), bottom ? 2 : 1,
                  static_cast<int>(std::lround(at.x_mm * 1000)), static_cast<int>(std::lround(at.y_mm * 1000)));
    netlist += line;
  };
  std::size_t points = 0;
  hands.app().desk_view()->snapshot.layer->marks.each([&](const MarkPtr& mark) {
    if (mark->kind != MarkKind::part || mark->refdes.empty()) return;
    record("GND", mark->refdes, "1", mark->at, mark->side == Side::bottom);
    ++points;
  });
  std::ofstream(hands.home() / "board.ipc") << netlist << "999\n";
  hands.drop({hands.home() / "board.ipc"});
  REQUIRE(hands.settle());
  hands.shoot("07-list");
  REQUIRE(hands.on_screen("take-list"));
  hands.click("take-list");
  REQUIRE(hands.settle());
  hands.click("search");
  hands.type("u3");
  hands.key(XK_Return);
  REQUIRE(hands.settle());
  hands.click("net-GND");
  REQUIRE(hands.settle());
  CHECK(hands.app().state().lit_net == "GND");
  hands.shoot("08-net");
  std::size_t on_net = 0;
  hands.app().desk_view()->snapshot.layer->marks.each([&](const MarkPtr& mark) { on_net += mark->nets.contains("1") ? 1 : 0; });
  CHECK(on_net == points);
}

}  // namespace

TEST_CASE("the shop's memory by mouse and keyboard at 1600x1000") { shop(1600, 1000); }
TEST_CASE("the shop's memory by mouse and keyboard at 1280x720") { shop(1280, 720); }
