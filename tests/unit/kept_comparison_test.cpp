// The answer of a before/after comparison kept in the job: in its file, in a merge, at the hand-back, in the record.
#include <doctest/doctest.h>

#include <algorithm>

#include "judging/compared_parts.h"
#include "record/hand_back.h"
#include "record/keep_comparison.h"
#include "record/record_md.h"
#include "record/record_model.h"
#include "storage/documents.h"
#include "storage/merge.h"

using namespace boardlore;

namespace {

Timestamp at(const char* text) { return *parse_rfc3339(text); }
Id id_of(int n) {
  char text[40];
  std::snprintf(text, sizeof text, "018e0000-0000-7000-8000-%012d", n);
  return Id{text};
}

// An invented job: U5 and C16 on the board, U5 was replaced at 10:30, with photos from before and after.
Snapshot reworked() {
  Layer layer;
  layer.id = id_of(1);
  layer.board.model = "GC12";
  std::vector<MarkPtr> marks;
  for (const auto& [n, refdes] : {std::pair{5, "U5"}, std::pair{16, "C16"}, std::pair{17, "C17"}}) {
    Mark mark;
    mark.id = id_of(n);
    mark.kind = MarkKind::part;
    mark.refdes = refdes;
    mark.at = {10.0 * n, 20};
    mark.outline = {{-2, -1}, {2, -1}, {2, 1}, {-2, 1}};
    marks.push_back(std::make_shared<const Mark>(mark));
  }
  layer.marks = MarkTable(std::move(marks));
  Job job;
  job.id = id_of(2);
  job.board.layer = layer.id;
  job.technician = "Tam Reyes";
  job.opened_at = at("2026-03-04T10:00:00Z");
  for (const auto& [n, stage] : {std::pair{101, PhotoStage::before}, std::pair{102, PhotoStage::after}}) {
    Photo photo;
    photo.id = id_of(n);
    photo.file = "photos/" + std::to_string(n) + ".jpg";
    photo.stage = stage;
    photo.width_px = 400, photo.height_px = 300;
    Registration registration;
    registration.px_per_mm = 2;
    registration.board_from_photo.rows = {0.5, 0, 0, 0, -0.5, 150, 0, 0, 1};
    photo.registration = registration;
    job.photos.push_back(photo);
  }
  Action action;
  action.id = id_of(201);
  action.mark = id_of(5);
  action.refdes = "U5";
  action.what = "replaced";
  action.at = at("2026-03-04T10:30:00Z");
  job.actions.push_back(action);
  return {std::make_shared<const Layer>(layer), std::make_shared<const Job>(job)};
}

Comparison answer(PartVerdict of_u5) {
  Comparison comparison;
  comparison.parts.push_back({id_of(5), "U5", of_u5, of_u5 == PartVerdict::turned ? 180 : 0, 0.123456, 0.98765, "why U5", {}});
  comparison.parts.push_back({id_of(16), "C16", PartVerdict::missing, 0, 0, 0.9, "why C16", {}});
  comparison.parts.push_back({id_of(17), "C17", PartVerdict::same, 0, 0, 0.9, "why C17", {}});
  return comparison;
}

Snapshot with(const Snapshot& before, const Comparison& comparison, const char* when, int id) {
  const Result<Edit> edit = keep_comparison_edit(before, comparison, {id_of(101), id_of(102)}, "Ines Kolb", at(when), id_of(id));
  REQUIRE(edit);
  const Result<Snapshot> after = boardlore::apply(before, *edit);
  REQUIRE(after);
  return *after;
}

bool says(const std::vector<std::string>& lines, const std::string& words) {
  return std::any_of(lines.begin(), lines.end(), [&](const std::string& line) { return line.find(words) != std::string::npos; });
}

std::string text_for(const Snapshot& snapshot, Audience audience) {
  RecordInput input;
  input.snapshot = snapshot;
  input.audience = audience;
  const Result<Record> record = record_of(input);
  REQUIRE(record);
  return record_text(*record);
}

}  // namespace

TEST_CASE("a kept comparison survives its file, with members of a newer version in it") {
  const Snapshot kept = with(reworked(), answer(PartVerdict::turned), "2026-03-04T11:00:00Z", 301);
  JobDocument document;
  document.job = *kept.job;
  document.job.comparisons[0].unknown["light"] = "\"from the left\"";
  const std::string text = write_job(document);
  CHECK(text.find("\"comparisons\"") != std::string::npos);
  CHECK(text.find("\"light\": \"from the left\"") != std::string::npos);
  const Result<JobDocument> again = read_job(text, "job.json");
  REQUIRE(again);
  CHECK(again->job.comparisons == document.job.comparisons);
  CHECK(write_job(*again) == text);
  CHECK(again->job.comparisons[0].parts[0].shift_mm == 0.123);  // a thousandth of a millimetre, a hundredth of confidence
  CHECK(again->job.comparisons[0].parts[0].confidence == 0.99);
}

TEST_CASE("comparing the same two photos again takes the place of the first answer; two people's are both kept") {
  const Snapshot start = reworked();
  const Snapshot one = with(start, answer(PartVerdict::turned), "2026-03-04T11:00:00Z", 301);
  const Snapshot again = with(one, answer(PartVerdict::same), "2026-03-04T12:00:00Z", 302);
  REQUIRE(again.job->comparisons.size() == 1);
  CHECK(again.job->comparisons[0].id == id_of(302));
  const Snapshot other = with(start, answer(PartVerdict::same), "2026-03-04T11:30:00Z", 303);
  for (const auto& [ours, theirs] : {std::pair{one, other}, std::pair{other, one}}) {
    const auto merged = merge_snapshots(start, ours, theirs);
    REQUIRE(merged);
    REQUIRE(merged->snapshot.job->comparisons.size() == 2);
    CHECK(merged->snapshot.job->disputes.empty());
    CHECK(newest_answer(*merged->snapshot.job, id_of(5))->part->verdict == "same");  // made last
  }
}

TEST_CASE("a comparison is kept in an open job only") {
  Snapshot board = reworked();
  board.job = nullptr;
  CHECK_FALSE(keep_comparison_edit(board, answer(PartVerdict::same), {}, "", {}, id_of(1)));
  Snapshot closed = reworked();
  Job job = *closed.job;
  job.hand_back = HandBack{"fixed", 0, "", "", "", {}};
  closed.job = std::make_shared<const Job>(job);
  CHECK_FALSE(keep_comparison_edit(closed, answer(PartVerdict::same), {}, "", {}, id_of(1)));
}

TEST_CASE("handing back names parts that were not compared, were worked on since, or look turned or missing") {
  const Snapshot start = reworked();
  const Timestamp now = at("2026-03-04T13:00:00Z");
  CHECK(says(open_points(start, now), "U5 was worked on, and not compared"));
  CHECK_FALSE(says(open_points(start, now), "C16"));  // nobody worked on it
  const Snapshot compared = with(start, answer(PartVerdict::same), "2026-03-04T11:00:00Z", 301);
  CHECK_FALSE(says(open_points(compared, now), "U5"));
  CHECK(says(open_points(compared, now), "C16 looks missing"));
  CHECK_FALSE(says(open_points(compared, now), "C17"));
  CHECK(says(open_points(with(start, answer(PartVerdict::turned), "2026-03-04T11:00:00Z", 301), now), "U5 looks turned by 180"));
  // Lifted again after it was compared.
  Job job = *compared.job;
  job.actions.push_back(job.actions[0]);
  job.actions.back().id = id_of(202);
  job.actions.back().at = at("2026-03-04T12:00:00Z");
  CHECK(says(open_points({compared.layer, std::make_shared<const Job>(job)}, now), "U5 was worked on again after it was compared"));
}

TEST_CASE("the record tells what the comparison answered beside the pictures that were compared, as an aid") {
  const Snapshot kept = with(reworked(), answer(PartVerdict::turned), "2026-03-04T11:00:00Z", 301);
  const std::string owner = text_for(kept, Audience::owner), shop = text_for(kept, Audience::shop);
  for (const char* words : {"Comparison: turned by 180° (confidence 0.99): why U5", "aid to the eye", "U5 before", "U5 after", "C16 before", "| C16 | missing | 0.90 | why C16 |",
                            "3 parts compared: 2 look changed, 1 the same, 0 can't be told"}) {
    CAPTURE(words);
    CHECK(owner.find(words) != std::string::npos);
  }
  CHECK(owner.find("Ines Kolb") == std::string::npos);
  CHECK(shop.find("by Ines Kolb") != std::string::npos);
  // What is turned or missing comes before what only looks different.
  Comparison more = answer(PartVerdict::changed);
  std::swap(more.parts[0], more.parts[1]);
  const std::string ordered = text_for(with(reworked(), more, "2026-03-04T11:00:00Z", 301), Audience::owner);
  CHECK(ordered.find("| C16 | missing") < ordered.find("| U5 | looks different"));
}
