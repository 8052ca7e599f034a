#include "storage/settle.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "storage/layer_words.h"
#include "storage/merge.h"

using namespace boardlore;

namespace {

Mark part(const char* last, const char* refdes) {
  Mark mark;
  mark.id = Id{std::string("00000000-0000-7000-8000-0000000000") + last};
  mark.kind = MarkKind::part;
  mark.refdes = refdes;
  mark.at = {3, 4};
  return mark;
}

Layer layer_of(const std::vector<Mark>& marks) {
  Layer layer;
  layer.id = Id{"00000000-0000-7000-8000-000000000001"};
  layer.board = Board{"Maker", "Model", "A", 100.0, 60.0, {}, {}};
  for (const Mark& mark : marks) layer.marks = layer.marks.with(std::make_shared<const Mark>(mark));
  return layer;
}

Snapshot merged(const Layer& base, const Layer& ours, const Layer& theirs) {
  Result<MergedLayer> result = merge_layers(base, ours, theirs);
  REQUIRE(result);
  return Snapshot{std::make_shared<const Layer>(result->layer), nullptr};
}

Snapshot settled(Snapshot now, Choice choice) {
  REQUIRE(disputes_of(now).size() == 1);
  const Result<std::vector<Edit>> edits = settling_edits(now, disputes_of(now)[0].id, choice);
  REQUIRE_MESSAGE(edits, to_text(edits.problem()));
  for (const Edit& edit : *edits) {
    Result<Snapshot> next = boardlore::apply(now, edit);
    REQUIRE_MESSAGE(next, to_text(next.problem()));
    now = *next;
  }
  CHECK(disputes_of(now).empty());
  return now;
}

bool says(const std::vector<std::string>& lines, const std::string& line) { return std::find(lines.begin(), lines.end(), line) != lines.end(); }

}  // namespace

TEST_CASE("one choice settles a value, either way") {
  Mark a = part("10", "C14"), b = a;
  const Layer base = layer_of({a});
  a.value = "10n";
  b.value = "22n";
  const Snapshot now = merged(base, layer_of({a}), layer_of({b}));
  const SpokenDispute spoken = spoken_dispute(now, disputes_of(now)[0]);
  CHECK(spoken.about == "C14: value");
  CHECK(spoken.one == "10n");
  CHECK(spoken.other == "22n");
  CHECK(settled(now, Choice::one).layer->marks.find(a.id)->value == "10n");
  CHECK(settled(now, Choice::other).layer->marks.find(a.id)->value == "22n");
}

TEST_CASE("a removal against an edit: gone, or kept with the edit") {
  Mark a = part("10", "C14");
  const Layer base = layer_of({a});
  a.value = "10n";
  const Snapshot now = merged(base, layer_of({a}), layer_of({}));
  CHECK(settled(now, Choice::one).layer->marks.empty());
  CHECK(settled(now, Choice::other).layer->marks.find(a.id)->value == "10n");
}

TEST_CASE("two marks offered as one: joined with what only the other knew, or left apart") {
  Mark a = part("20", "R7"), b = part("21", "R7");
  a.value = "10k";
  b.value = "12k";
  b.accept = {"1002"};
  const Snapshot now = merged(layer_of({}), layer_of({a}), layer_of({b}));
  const Snapshot joined = settled(now, Choice::one);
  REQUIRE(joined.layer->marks.size() == 1);
  CHECK(joined.layer->marks.find(a.id)->value == "10k");
  CHECK(joined.layer->marks.find(a.id)->accept == std::vector<std::string>{"1002"});
  CHECK(settled(now, Choice::other).layer->marks.find(b.id)->value == "12k");
  CHECK(settled(now, Choice::both).layer->marks.size() == 2);
}

TEST_CASE("what changed, in words") {
  Mark a = part("10", "C14"), b = part("11", "U3");
  Limit limit;
  limit.id = Id{"00000000-0000-7000-8000-0000000000aa"};
  limit.low = 1;
  limit.high = 2;
  a.limits = {limit};
  Mark a2 = a, b2 = b;
  a2.at.x_mm += 0.8;
  a2.limits[0].high = 3;
  b2.pin1 = Offset{1, 1};
  const auto lines = spoken_differences(layer_of({a, b}), layer_of({a2, b2, part("12", "R1")}));
  CHECK(says(lines, "C14 moved 0.8 mm"));
  CHECK(says(lines, "C14: limit widened: 1 to 2 Ohm -> 1 to 3 Ohm"));
  CHECK(says(lines, "U3: pin 1 set"));
  CHECK(says(lines, "R1 placed at 3.00, 4.00 mm, top"));
  CHECK(lines.size() == 4);
  CHECK(spoken_differences(layer_of({a}), layer_of({a})).empty());
}
