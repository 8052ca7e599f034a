#include "editing/entry_edits.h"

#include <doctest/doctest.h>

#include "judging/learn.h"

using namespace boardlore;

namespace {

Snapshot bench() {
  Layer layer;
  int serial = 1;
  for (const char* name : {"C14", "C16", "U3", "BT1", "F1", "TP4", "R5"}) {
    Mark mark;
    mark.id = Id{"m" + std::to_string(serial++)};
    mark.kind = MarkKind::part;
    mark.refdes = name;
    if (mark.refdes == "U3") mark.limits.push_back({Id{"l"}, Quantity::diode, "7", std::nullopt, 0.4, 0.6, "service sheet", {}});
    if (mark.refdes == "BT1") mark.limits.push_back({Id{"l"}, Quantity::voltage, "", std::nullopt, 2.8, 3.5, "common practice, no source", {}});
    layer.marks = layer.marks.with(std::make_shared<const Mark>(mark));
  }
  return {std::make_shared<const Layer>(std::move(layer)), std::make_shared<const Job>()};
}

// Enters the line the way the window and the command do.
Snapshot enter(const Snapshot& before, const std::string& text, std::int64_t at_s) {
  static int serial = 0;
  const ParsedEntry parsed = parse_entry_line(text, entry_context(before));
  REQUIRE_MESSAGE(std::holds_alternative<EntryLine>(parsed), text);
  Document document(before);
  REQUIRE(document.commit("entry", edits_of(before, std::get<EntryLine>(parsed), {[] { return Id{"r" + std::to_string(++serial)}; }, Timestamp{at_s * 1000}, "Ines"})));
  return document.now();
}

}  // namespace

TEST_CASE("while typing, the window sees how a line is understood and the verdict it would get") {
  const Snapshot snapshot = bench();
  const EntryPreview good = preview_entry(snapshot, "U3.7 0.452 V diode", {});
  CHECK(good.complete);
  CHECK(good.understood == "U3 pin 7: diode 0.452 V, power off");
  CHECK(good.verdict == Verdict::within_limits);
  CHECK(preview_entry(snapshot, "U3.7 3mV diode", {}).verdict == Verdict::shorted);
  CHECK(preview_entry(snapshot, "BT1 2.1V", {}).verdict == Verdict::low);
  const EntryPreview half = preview_entry(snapshot, "U3.7 0.4q", {});
  CHECK_FALSE(half.complete);
  CHECK(half.fault_column == 9);
  const EntryPreview question = preview_entry(snapshot, "C14 10", {});
  CHECK_FALSE(question.complete);
  CHECK(question.choices.size() == 4);
  CHECK(preview_entry(snapshot, "C15 10k", {}).accepted == "the nearest are C14, C16");
}

TEST_CASE("readings, notes and actions of a line land where they belong, and undo takes each back") {
  Snapshot snapshot = enter(bench(), "C14 10.2k 10.9k 11.4k every 5s", 100);
  REQUIRE(snapshot.job->readings.size() == 3);
  CHECK(snapshot.job->readings[0].taken_at.ms == 90000);
  CHECK(snapshot.job->readings[2].taken_at.ms == 100000);
  CHECK(snapshot.job->readings[1].typed == "10.9k");
  snapshot = enter(snapshot, "U3 note lifted pad 7", 101);
  CHECK(snapshot.layer->marks.find(Id{"m3"})->notes.at(0).text == "lifted pad 7");
  snapshot = enter(snapshot, "U3.7 replaced from the donor board", 102);
  CHECK(snapshot.job->actions.at(0).what == "replaced");
  CHECK(snapshot.job->actions.at(0).words == "from the donor board");
  snapshot = enter(snapshot, "note came with a dent", 103);
  CHECK(snapshot.job->notes.at(0).text == "came with a dent");
  CHECK(worst_verdicts(*snapshot.layer, *snapshot.job, {}).size() == 1);
}

TEST_CASE("a job teaches its good final readings only, with the day and nothing more") {
  Snapshot snapshot = bench();
  snapshot = enter(snapshot, "U3.7 3mV diode", 100);
  snapshot = enter(snapshot, "U3 replaced", 200);
  snapshot = enter(snapshot, "U3.7 0.452 V diode", 300);
  snapshot = enter(snapshot, "BT1 2.1V", 300);
  snapshot = enter(snapshot, "C14 10.5k rising", 300);
  snapshot = enter(snapshot, "R5 4k7 on", 300);
  int serial = 0;
  const Lessons lessons = lessons_of(*snapshot.layer, *snapshot.layer, *snapshot.job, Timestamp{400000}, [&] { return Id{"s" + std::to_string(++serial)}; });
  REQUIRE(lessons.learnt.size() == 1);
  CHECK(lessons.learnt[0].point == "U3.7");
  CHECK(lessons.learnt[0].sample.value == 0.452);
  CHECK(lessons.learnt[0].sample.taken_at.ms == 0);
  CHECK(lessons.left_out.size() == 3);
}
