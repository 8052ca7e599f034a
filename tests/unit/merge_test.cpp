#include "storage/merge.h"

#include <doctest/doctest.h>

#include <functional>
#include <cstdio>

#include "storage/documents.h"
#include "support/small_layer.h"

using namespace boardlore;

namespace {

Layer changed(const Layer& layer, unsigned n, const std::function<void(Mark&)>& change) {
  Mark mark = *layer.marks.find(numbered_id(n));
  change(mark);
  return with_mark(layer, mark);
}

// Merged both ways round: the same to the byte.
MergedLayer merged(const Layer& base, const Layer& ours, const Layer& theirs) {
  Result<MergedLayer> one = merge_layers(base, ours, theirs), other = merge_layers(base, theirs, ours);
  REQUIRE_MESSAGE(one, to_text(one.problem()));
  REQUIRE(other);
  CHECK(write_layer(one->layer) == write_layer(other->layer));
  return *one;
}

}  // namespace

TEST_CASE("one moves a part, the other renames it, a third thing is a set: all of it is there") {
  const Layer base = small_layer();
  const MergedLayer both = merged(base, changed(base, 10, [](Mark& m) { m.at = {5, 5}, m.accept.push_back("X3"); }),
                                  changed(base, 10, [](Mark& m) { m.refdes = "C15", m.accept = {"X2", "X4"}; }));
  const MarkPtr mark = both.layer.marks.find(numbered_id(10));
  CHECK(mark->at == BoardPoint{5, 5});
  CHECK(mark->refdes == "C15");
  CHECK(mark->accept == std::vector<std::string>{"X2", "X3", "X4"});
  CHECK(both.disputes.empty());
}

TEST_CASE("limits meet by id, member by member") {
  const Layer base = small_layer();
  const MergedLayer both = merged(base, changed(base, 10, [](Mark& m) { m.limits[0].low = 0.5; }), changed(base, 10, [](Mark& m) {
                                    m.limits[0].high = 3.0;
                                    m.limits.push_back(m.limits[0]);
                                    m.limits[1].id = numbered_id(77);
                                  }));
  const auto& limits = both.layer.marks.find(numbered_id(10))->limits;
  REQUIRE(limits.size() == 2);
  CHECK(limits[0].low == 0.5);
  CHECK(limits[0].high == 3.0);
  CHECK(both.disputes.empty());
}

TEST_CASE("samples and notes of both are there; one taken out by one person is out") {
  Layer base = small_layer();
  const auto sample = [](unsigned n, double value) {
    Sample made;
    made.id = numbered_id(n);
    made.value = value;
    return made;
  };
  const auto note = [](unsigned n, const char* text) {
    Note made;
    made.id = numbered_id(n);
    made.text = text;
    return made;
  };
  base = changed(base, 10, [&](Mark& m) { m.samples = {sample(60, 1), sample(61, 2)}, m.notes = {note(70, "flux")}; });
  const MergedLayer both = merged(base, changed(base, 10, [&](Mark& m) { m.samples.erase(m.samples.begin()), m.samples.push_back(sample(62, 3)), m.notes.push_back(note(71, "hot")); }),
                                  changed(base, 10, [&](Mark& m) { m.samples[1].value = 4, m.samples.push_back(sample(63, 5)), m.notes.push_back(note(72, "cold")); }));
  const MarkPtr mark = both.layer.marks.find(numbered_id(10));
  REQUIRE(mark->samples.size() == 3);
  CHECK(mark->samples[0] == sample(61, 4));
  CHECK(mark->samples[1] == sample(62, 3));
  CHECK(mark->samples[2] == sample(63, 5));
  CHECK(mark->notes.size() == 3);
  CHECK(both.disputes.empty());
  // The same one changed by one and taken out by the other: kept, and disputed.
  const MergedLayer against = merged(base, changed(base, 10, [](Mark& m) { m.samples[1].value = 4; }), changed(base, 10, [](Mark& m) { m.samples.pop_back(); }));
  REQUIRE(against.disputes.size() == 1);
  CHECK(against.disputes[0].member == "/samples/" + numbered_id(61).text);
}

TEST_CASE("both changed one member differently: one value shows, both are kept as a dispute") {
  const Layer base = small_layer();
  const MergedLayer both = merged(base, changed(base, 10, [](Mark& m) { m.value = "10n"; }), changed(base, 10, [](Mark& m) { m.value = "22n"; }));
  REQUIRE(both.disputes.size() == 1);
  CHECK(both.layer.disputes == both.disputes);
  CHECK(both.disputes[0].mark == numbered_id(10));
  CHECK(both.disputes[0].member == "/value");
  CHECK(both.disputes[0].one == "\"10n\"");
  CHECK(both.disputes[0].other == "\"22n\"");
  CHECK(both.layer.marks.find(numbered_id(10))->value == "10n");
}

TEST_CASE("a part taken out by one and changed by the other stays, and is disputed") {
  const Layer base = small_layer();
  Layer without = base;
  without.marks = base.marks.without(numbered_id(10));
  const MergedLayer both = merged(base, without, changed(base, 10, [](Mark& m) { m.value = "22n"; }));
  REQUIRE(both.layer.marks.find(numbered_id(10)));
  REQUIRE(both.disputes.size() == 1);
  CHECK(both.disputes[0].member.empty());
  CHECK(both.disputes[0].one.empty());
  CHECK(merged(base, without, base).layer.marks.size() == 1);  // untouched by the other: gone
}

TEST_CASE("a registration is one thing") {
  Layer base = small_layer();
  Photo photo;
  photo.id = numbered_id(50);
  photo.file = "top.jpg";
  base.photos = {photo};
  Layer one = base, other = base;
  Registration r;
  r.rms_mm = 0.1;
  one.photos[0].registration = r;
  one.photos[0].note = "flat light";
  r.rms_mm = 0.2;
  r.px_per_mm = 20;
  other.photos[0].registration = r;
  const MergedLayer both = merged(base, one, other);
  CHECK(both.layer.photos[0].note == "flat light");
  CHECK((both.layer.photos[0].registration == one.photos[0].registration || both.layer.photos[0].registration == other.photos[0].registration));
  REQUIRE(both.disputes.size() == 1);
  CHECK(both.disputes[0].member == "/photos/" + photo.id.text + "/registration");
}

TEST_CASE("the same part marked by two people is kept twice and offered as one") {
  const Layer base = small_layer();
  Mark one = part_numbered(20, "R7"), other = part_numbered(21, "r7");
  MergedLayer both = merged(base, with_mark(base, one), with_mark(base, other));
  CHECK(both.layer.marks.size() == 4);
  REQUIRE(both.disputes.size() == 1);
  CHECK(both.disputes[0].member == same_part_member);
  CHECK(both.disputes[0].one == '"' + one.id.text + '"');
  one.refdes = other.refdes = "";
  other.at = {one.at.x_mm + 0.3, one.at.y_mm};
  CHECK(merged(base, with_mark(base, one), with_mark(base, other)).disputes.size() == 1);  // same place and kind
  other.at = {one.at.x_mm + 0.5, one.at.y_mm};
  CHECK(merged(base, with_mark(base, one), with_mark(base, other)).disputes.empty());
  other.at = one.at;
  other.side = Side::bottom;
  CHECK(merged(base, with_mark(base, one), with_mark(base, other)).disputes.empty());
}

TEST_CASE("layers of two boards are not merged") {
  Layer other = small_layer();
  other.id = numbered_id(2);
  CHECK_FALSE(merge_layers(small_layer(), small_layer(), other));
}

TEST_CASE("jobs merge as text: readings of both, the reported fault disputed") {
  JobDocument base;
  base.job.id = numbered_id(1);
  base.job.board.layer = numbered_id(2);
  JobDocument one = base, other = base;
  Reading reading;
  reading.id = numbered_id(30);
  reading.mark = numbered_id(10);
  one.job.readings = {reading};
  reading.id = numbered_id(31);
  other.job.readings = {reading};
  one.job.reported = "dead";
  other.job.reported = "no sound";
  const Result<MergedText> both = merge_texts({write_job(base), "b"}, {write_job(one), "o"}, {write_job(other), "t"});
  REQUIRE_MESSAGE(both, to_text(both.problem()));
  const Result<JobDocument> job = read_job(both->text, "m");
  REQUIRE(job);
  CHECK(job->job.readings.size() == 2);
  REQUIRE(job->job.disputes.size() == 1);
  CHECK(job->job.disputes[0].member == "/reported");
}
