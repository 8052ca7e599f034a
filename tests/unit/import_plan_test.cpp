#include "import/import_plan.h"

#include <doctest/doctest.h>

#include "editing/document.h"

using namespace boardlore;

namespace {

const Timestamp now{1'700'000'000'000};

Mark part(const char* id, const char* refdes, double x_mm, double y_mm) {
  Mark mark;
  mark.id = Id{id}, mark.kind = MarkKind::part, mark.refdes = refdes, mark.at = {x_mm, y_mm};
  return mark;
}

// A board on which people have worked: U3 has a note and a limit, C1 an outline.
std::shared_ptr<Layer> worked_on() {
  auto layer = std::make_shared<Layer>();
  Mark u3 = part("00000000-0000-7000-8000-000000000001", "U3", 30, 20);
  Note note;
  note.text = "runs hot";
  u3.notes.push_back(note);
  u3.limits.emplace_back();
  u3.nets["9"] = "HAND_TRACED";
  Mark c1 = part("00000000-0000-7000-8000-000000000002", "C1", 10, 40);
  c1.outline = {{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
  c1.value = "1u";
  layer->marks = layer->marks.with(std::make_shared<const Mark>(u3)).with(std::make_shared<const Mark>(c1));
  return layer;
}

// The list's frame: origin at another corner, turned a quarter. (x, y) of the board is (y, 100 - x) there.
const char* table_text =
    "Designator,Value,Package,X (mm),Y (mm),Rotation,Side\n"
    "U3,TX-4410,SOIC-8,20,70,0,T\nC1,100n,0603,40,90,90,T\nR9,10k,0402,5,50,0,B\n";

Result<Snapshot> taken(const std::shared_ptr<const Layer>& layer, const ImportPlan& plan) {
  Document document(Snapshot{layer, nullptr});
  const Result<Done> done = document.commit("import", plan.edits);
  if (!done) return done.problem();
  return document.now();
}

MarkPtr named(const Layer& layer, std::string_view refdes) {
  MarkPtr found;
  layer.marks.each([&](const MarkPtr& mark) {
    if (mark->refdes == refdes) found = mark;
  });
  return found;
}

}  // namespace

TEST_CASE("a list is tied by the parts it shares with the board, and keeps what people added") {
  const auto layer = worked_on();
  const Result<PlacementTable> table = read_placement_table(table_text, "list.csv");
  REQUIRE(table);
  const std::vector<TiePoint> common = common_places(*layer, *table);
  REQUIRE(common.size() == 2);
  const Result<FrameTie> tie = tie_frames(common, MirrorChoice::no);
  REQUIRE(tie);
  CHECK(tie->rms_mm == doctest::Approx(0));
  IdSource ids(1, 2);
  const NewId new_id = [&] { return ids.next(now); };
  const ImportPlan plan = plan_placement(*layer, *table, *tie, new_id, now);
  CHECK(plan.added == std::vector<std::string>{"R9"});
  CHECK(plan.changed.size() == 2);
  const Result<Snapshot> after = taken(layer, plan);
  REQUIRE(after);
  const MarkPtr u3 = named(*after->layer, "U3"), c1 = named(*after->layer, "C1"), r9 = named(*after->layer, "R9");
  REQUIRE(u3);
  REQUIRE(r9);
  CHECK(u3->id.text == "00000000-0000-7000-8000-000000000001");
  CHECK(u3->notes.size() == 1);
  CHECK(u3->limits.size() == 1);
  CHECK(u3->value == "TX-4410");
  CHECK(c1->outline.size() == 4);
  CHECK(c1->value == "100n");
  // By hand: the list is turned a quarter, so (5, 50) there is (50, 5) seen from the board's corner.
  CHECK(r9->at.x_mm == doctest::Approx(100 - 50));
  CHECK(r9->at.y_mm == doctest::Approx(5));
  CHECK((r9->side == Side::bottom));
  CHECK(r9->package->name == "0402");

  // Again: nothing changes. A new revision of the list: only what moved.
  const ImportPlan again = plan_placement(*after->layer, *table, *tie, new_id, now);
  CHECK(again.edits.empty());
  CHECK(again.unchanged == 3);
  std::string moved(table_text);
  moved.replace(moved.find("5,50"), 4, "6,50");
  const ImportPlan third = plan_placement(*after->layer, *read_placement_table(moved, "list.csv"), *tie, new_id, now);
  CHECK(third.changed == std::vector<std::string>{"R9"});
  CHECK(third.added.empty());
}

TEST_CASE("a designator that is on the board twice ties nothing and is not changed") {
  auto layer = worked_on();
  layer->marks = layer->marks.with(std::make_shared<const Mark>(part("00000000-0000-7000-8000-000000000003", "C1", 50, 50)));
  const Result<PlacementTable> table = read_placement_table(table_text, "list.csv");
  REQUIRE(table);
  CHECK(common_places(*layer, *table).size() == 1);
  const ImportPlan plan = plan_placement(*layer, *table, same_frame(), [] { return Id{"00000000-0000-7000-8000-00000000000a"}; }, now);
  REQUIRE(plan.refused.size() == 1);
  CHECK(plan.refused[0].line == 3);
}

TEST_CASE("a netlist gives nets to pins, keeps nets traced by hand, and never moves a part") {
  const auto layer = worked_on();
  const Result<Netlist> netlist = read_netlist(
      "P  UNITS CUST 1\n"
      "327GND              U3    -1          A01X+029000Y+019000\n"
      "327+5V              U3    -2          A01X+031500Y+021500\n"
      "327N/C              U3    -3          A01X+031000Y+021000\n"
      "327GND              TP4   -1          A02X+050000Y+010000\n"
      "327GND              R8    -1          A01X+060000Y+010000X0500Y0500\n"
      "327+5V              R8    -2          A01X+062000Y+010000X0500Y0500\n"
      "317GND              VIA         D0300PA00X+040000Y+010000\n999\n",
      "board.ipc");
  REQUIRE(netlist);
  IdSource ids(1, 2);
  const ImportPlan plan = plan_netlist(*layer, *netlist, same_frame(), [&] { return ids.next(now); }, now);
  const Result<Snapshot> after = taken(layer, plan);
  REQUIRE(after);
  const MarkPtr u3 = named(*after->layer, "U3"), tp4 = named(*after->layer, "TP4"), r8 = named(*after->layer, "R8");
  CHECK(u3->at == BoardPoint{30, 20});
  CHECK(u3->nets == std::map<std::string, std::string>{{"1", "GND"}, {"2", "+5V"}, {"9", "HAND_TRACED"}});
  REQUIRE(tp4);
  CHECK((tp4->kind == MarkKind::probe));
  CHECK((tp4->side == Side::bottom));
  REQUIRE(r8);
  CHECK(r8->at.x_mm == doctest::Approx(61));
  REQUIRE(r8->outline.size() == 4);
  CHECK(r8->outline[0].x_mm == doctest::Approx(-1.25));
  CHECK(after->layer->marks.size() == 4);
  CHECK(plan_netlist(*after->layer, *netlist, same_frame(), [&] { return ids.next(now); }, now).edits.empty());
}

TEST_CASE("marks written as CSV read back as the same marks") {
  auto layer = worked_on();
  Mark odd = part("00000000-0000-7000-8000-000000000004", "", 1.0 / 3.0, -2.5e-7);
  odd.kind = MarkKind::note;
  odd.text = "=HYPERLINK(\"x\"), a \"quoted\" word\nand a second line";
  odd.side = Side::bottom;
  layer->marks = layer->marks.with(std::make_shared<const Mark>(odd));
  const std::string csv = write_marks_csv(*layer);
  // A spreadsheet must not run it.
  CHECK(csv.find("\"'=HYPERLINK") != std::string::npos);
  const Result<PointTable> points = read_points(csv, "marks.csv");
  REQUIRE(points);
  CHECK(points->refused_count == 0);
  IdSource ids(1, 2);
  const NewId new_id = [&] { return ids.next(now); };
  CHECK(plan_points(*layer, *points, same_frame(), new_id, now).edits.empty());
  // Onto an empty board, and out again: the same but for the ids.
  const auto empty = std::make_shared<const Layer>();
  const Result<Snapshot> copied = taken(empty, plan_points(*empty, *points, same_frame(), new_id, now));
  REQUIRE(copied);
  const auto without_ids = [](const std::string& text) {
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
      const std::size_t id = text.compare(at, 9, "00000000-") == 0 || text.compare(at, 7, "018bcfe") == 0 ? 36 : 0;
      at += id;
      if (at < text.size()) out += text[at++];
    }
    return out;
  };
  CHECK(without_ids(write_marks_csv(*copied->layer)).size() == without_ids(csv).size());
}

TEST_CASE("points of a plain CSV become probe marks, and a second import adds none") {
  const Result<PointTable> points = read_points("name;x;y;side\nTP1;1,5;2;B\nhot spot;3;4;T\n;x;4;T\n", "points.csv");
  REQUIRE(points);
  CHECK(points->refused_count == 1);
  CHECK(points->refused[0].line == 4);
  const auto empty = std::make_shared<const Layer>();
  IdSource ids(1, 2);
  const NewId new_id = [&] { return ids.next(now); };
  const Result<Snapshot> after = taken(empty, plan_points(*empty, *points, same_frame(), new_id, now));
  REQUIRE(after);
  CHECK(named(*after->layer, "TP1")->at == BoardPoint{1.5, 2});
  CHECK(after->layer->marks.size() == 2);
  CHECK(plan_points(*after->layer, *points, same_frame(), new_id, now).edits.empty());
}
