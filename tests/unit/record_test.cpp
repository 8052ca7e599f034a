#include <doctest/doctest.h>

#include <algorithm>

#include "overlay/colours.h"
#include "pictures/encode.h"
#include "record/hand_back.h"
#include "record/photo_watch.h"
#include "record/record_html.h"
#include "record/record_html_style.h"
#include "record/record_json.h"
#include "record/record_md.h"
#include "record/record_pdf.h"
#include "record/record_words.h"
#include "record/warranty.h"
#include "support/temporary_folder.h"

using namespace boardlore;
using namespace std::chrono;

namespace {

const std::string hostile = "</td><script>alert(1)</script><img src=x onerror=alert(2)> \" ' & `| [x](javascript:1) \xE2\x80\xAE \x01 \xC0\xAF";

Timestamp at(const char* text) { return *parse_rfc3339(text); }

// An invented job: C14 was shorted and replaced.
Snapshot invented_job(const std::string& words = "no display") {
  Mark mark;
  mark.id.text = "018e0000-0000-7000-8000-000000000014";
  mark.kind = MarkKind::part;
  mark.refdes = "C14";
  mark.value = words;
  mark.at = {30, 20};
  mark.outline = {{-2, -1}, {2, -1}, {2, 1}, {-2, 1}};
  Note inner;
  inner.text = "internal: bought at cost " + words;
  inner.internal = true;
  inner.by = "Ines Kolb";
  mark.notes.push_back(inner);
  Layer layer;
  layer.board.maker = "Brackenwick";
  layer.board.model = "GC12";
  layer.marks = MarkTable({std::make_shared<const Mark>(mark)});

  Job job;
  job.id.text = "018e0000-0000-7000-8000-000000000001";
  job.board.maker = "Brackenwick";
  job.board.model = "GC12";
  job.reported = words;
  job.unit = {"SN-0042", "Orla Petrie", words, {}};
  job.technician = "Tam Reyes";
  job.opened_at = at("2026-03-04T10:00:00Z");
  Reading reading;
  reading.id.text = "018e0000-0000-7000-8000-000000000101";
  reading.mark = mark.id;
  reading.refdes = "C14";
  reading.value = 0.4;
  reading.taken_at = at("2026-03-04T10:10:00Z");
  reading.by = "Ines Kolb";
  reading.words = words;
  job.readings.push_back(reading);
  reading.id.text = "018e0000-0000-7000-8000-000000000102";
  reading.value = 10500;
  reading.said = SaidTrend::rising;
  reading.taken_at = at("2026-03-04T11:00:00Z");
  job.readings.push_back(reading);
  Action action;
  action.id.text = "018e0000-0000-7000-8000-000000000201";
  action.mark = mark.id;
  action.refdes = "C14";
  action.what = "replaced";
  action.words = words;
  action.process.iron_c = 350;
  action.process.nozzle_mm = 6;
  action.fitted_marking = "10u 25V";
  action.fitted_lot = "L77";
  action.fitted_source = "Pennant Parts, 0.12 each";
  action.at = at("2026-03-04T10:30:00Z");
  action.by = "Ines Kolb";
  job.actions.push_back(action);
  job.checks.push_back({"runs for an hour", at("2026-03-04T12:00:00Z")});
  Acknowledgement passed;
  passed.mark = mark.id;
  passed.point = "orientation-photo";
  passed.reason = "not polarised " + words;
  passed.by = "Ines Kolb";
  passed.at = at("2026-03-04T10:20:00Z");
  job.acknowledgements.push_back(passed);
  return {std::make_shared<const Layer>(layer), std::make_shared<const Job>(job)};
}

Record record_for(Audience audience, const std::string& words = "no display") {
  RecordInput input;
  input.snapshot = invented_job(words);
  input.audience = audience;
  const Result<Record> record = record_of(input);
  REQUIRE(record);
  return *record;
}

}  // namespace

TEST_CASE("a warranty ends on the calendar's day, or on the month's last where it has no such day") {
  struct Row {
    const char* from;
    int months;
    const char* until;
  };
  // Source: the calendar, by hand; checked against std::chrono below.
  const Row rows[] = {{"2026-03-04T10:00:00Z", 12, "2027-03-04"}, {"2026-01-31T23:59:59Z", 1, "2026-02-28"},
                      {"2028-01-31T00:00:00Z", 1, "2028-02-29"},  {"2028-02-29T12:00:00Z", 12, "2029-02-28"},
                      {"2028-02-29T12:00:00Z", 48, "2032-02-29"}, {"2026-08-31T12:00:00Z", 6, "2027-02-28"},
                      {"2026-12-31T12:00:00Z", 2, "2027-02-28"},  {"2096-02-29T12:00:00Z", 48, "2100-02-28"}};
  for (const Row& row : rows) CHECK(*warranty_until(at(row.from), row.months) == row.until);
  CHECK_FALSE(warranty_until(at("2026-03-04T10:00:00Z"), -1));
  CHECK_FALSE(warranty_until(at("2026-03-04T10:00:00Z"), 5000));
}

TEST_CASE("every day of eight years plus every warranty up to five years is a real day of the right month") {
  for (sys_days day = sys_days{2024y / January / 1}; day < sys_days{2032y / January / 1}; day += days{1}) {
    const year_month_day from{day};
    for (const int months : {0, 1, 3, 6, 12, 24, 60}) {
      const year_month_day until = months_later(from, months);
      REQUIRE(until.ok());
      REQUIRE(year_month{until.year(), until.month()} == year_month{from.year(), from.month()} + std::chrono::months{months});
      const unsigned last = static_cast<unsigned>((until.year() / until.month() / std::chrono::last).day());
      REQUIRE(static_cast<unsigned>(until.day()) == std::min(static_cast<unsigned>(from.day()), last));
    }
  }
}

TEST_CASE("days and minutes are those of the standard library's calendar, over leap days and centuries") {
  // 1968 to 2104: before the epoch, the leap day of 2000, the missing one of 2100.
  for (sys_days day = sys_days{1968y / January / 1}; day < sys_days{2104y / January / 1}; day += days{1}) {
    const year_month_day date{day};
    const Timestamp time{duration_cast<milliseconds>((day + hours{23} + minutes{59}).time_since_epoch()).count()};
    char words[40];
    std::snprintf(words, sizeof words, "%04d-%02u-%02u 23:59 UTC", int(date.year()), unsigned(date.month()), unsigned(date.day()));
    REQUIRE(spoken_time(time) == words);
  }
}

TEST_CASE("the owner's record leaves out internal notes, sources and prices, and other people's names") {
  const std::string owner = record_text(record_for(Audience::owner)), shop = record_text(record_for(Audience::shop));
  for (const char* kept : {"C14", "Tam Reyes", "SN\\-0042", "Orla Petrie", "350 °C", "10u 25V", "lot L77", "10.5 kΩ", "rising"}) {
    std::string text = kept;
    text.erase(std::remove(text.begin(), text.end(), '\\'), text.end());
    CAPTURE(text);
    CHECK(owner.find(text) != std::string::npos);
  }
  for (const char* left_out : {"Ines Kolb", "Pennant", "0.12", "internal:"}) {
    CAPTURE(left_out);
    CHECK(owner.find(left_out) == std::string::npos);
    CHECK(shop.find(left_out) != std::string::npos);
  }
}

TEST_CASE("hostile text stays text in HTML, Markdown and JSON") {
  const Record record = record_for(Audience::shop, hostile);
  const std::vector<PreparedPicture> none;
  const std::string html = record_html(record, none);
  CHECK(html.find("<script") == std::string::npos);
  CHECK(html.find("<img") == std::string::npos);
  CHECK(html.find("&lt;script&gt;") != std::string::npos);
  CHECK(html.find("\xE2\x80\xAE") == std::string::npos);  // turns reading order around
  CHECK(html.find('\x01') == std::string::npos);
  const std::string md = record_md(record);
  CHECK(md.find("<script") == std::string::npos);
  CHECK(md.find("[x](javascript") == std::string::npos);
  CHECK(record_json(record, Audience::shop).find("\x01") == std::string::npos);
  CHECK(record_pdf(record, none, {Paper::a4, Timestamp{0}}));
}

TEST_CASE("the HTML fetches nothing and runs nothing") {
  const std::string html = record_html(record_for(Audience::owner), {});
  CHECK(html.find("default-src 'none'") != std::string::npos);
  for (const char* active : {"<script", "javascript:", "http://", "https://", "url(", "@import", "<iframe", "<link", " onload", " style=\""})
    CHECK(html.find(active) == std::string::npos);
}

TEST_CASE("the digest is that of the text above it, and changes with one word") {
  const Record record = record_for(Audience::owner);
  const std::string md = record_md(record), digest = record_digest(record);
  CHECK(digest.size() == 64);
  CHECK(md.starts_with(record_text(record)));
  CHECK(md.find(digest) != std::string::npos);
  CHECK(record_html(record, {}).find(digest) != std::string::npos);
  CHECK(record_digest(record_for(Audience::owner, "no sound")) != digest);
}

TEST_CASE("the same record gives the same PDF bytes; another time gives others") {
  const Record record = record_for(Audience::owner);
  const auto one = record_pdf(record, {}, {Paper::a4, Timestamp{1750000000000}});
  const auto two = record_pdf(record, {}, {Paper::a4, Timestamp{1750000000000}});
  REQUIRE(one);
  CHECK(*one == *two);
  CHECK(one->starts_with("%PDF-"));
  CHECK(*record_pdf(record, {}, {Paper::a4, Timestamp{1760000000000}}) != *one);
  CHECK(*record_pdf(record, {}, {Paper::letter, Timestamp{1750000000000}}) != *one);
}

TEST_CASE("a field of a hundred pages still makes a PDF") {
  const auto pdf = record_pdf(record_for(Audience::shop, std::string(300000, 'w')), {}, {Paper::letter, Timestamp{0}});
  CHECK(pdf);
}

TEST_CASE("a missing photo leaves its reason in its place and the record is still made") {
  Snapshot snapshot = invented_job();
  Job job = *snapshot.job;
  Photo photo;
  photo.id.text = "018e0000-0000-7000-8000-000000000301";
  photo.file = "photos/gone.jpg";
  photo.stage = PhotoStage::intake;
  photo.width_px = 4000;
  photo.height_px = 3000;
  job.photos.push_back(photo);
  snapshot.job = std::make_shared<const Job>(job);
  RecordInput input;
  input.snapshot = snapshot;
  input.photo_faults[photo.id] = "missing";
  const Result<Record> record = record_of(input);
  REQUIRE(record);
  const auto pictures = prepare_pictures(*record, snapshot, [](const Photo& p) { return "no/such/folder/" + p.file; });
  REQUIRE(pictures);
  REQUIRE(pictures->size() == 1);
  CHECK(pictures->front().jpeg.empty());
  CHECK(record_html(*record, *pictures).find("No picture: photos/gone.jpg") != std::string::npos);
  CHECK(record_pdf(*record, *pictures, {}));
}

TEST_CASE("the close-up of a part is turned as the technician had it on the screen") {
  const TemporaryFolder temporary;
  Raster picture{120, 100, {}};
  picture.rgba.assign(std::size_t{4} * 120 * 100, 200);
  REQUIRE(write_jpeg(temporary.path / "p.jpg", picture, 90));
  Snapshot snapshot = invented_job();
  Job job = *snapshot.job;
  Photo photo;
  photo.id.text = "018e0000-0000-7000-8000-000000000301";
  photo.file = "p.jpg";
  photo.stage = PhotoStage::before;
  photo.width_px = 120;
  photo.height_px = 100;
  photo.registration = Registration{};
  photo.registration->board_from_photo.rows = {0.5, 0, 0, 0, -0.5, 45, 0, 0, 1};  // two pixels a millimetre, upright
  photo.registration->px_per_mm = 2;
  job.photos = {photo};
  snapshot.job = std::make_shared<const Job>(job);
  // Where a millimetre up the board from the part comes to lie, seen from it.
  const auto up_in_close_up = [&](const Snapshot& now) {
    RecordInput input;
    input.snapshot = now;
    const Result<Record> record = record_of(input);
    REQUIRE(record);
    const auto pictures = prepare_pictures(*record, now, [&](const Photo& p) { return temporary.path / p.file; });
    REQUIRE(pictures);
    const std::vector<const Picture*> shown = pictures_of(*record);
    for (std::size_t i = 0; i < shown.size(); ++i)
      if (shown[i]->caption.find("as it was seen") != std::string::npos) {
        const PreparedPicture& made = (*pictures)[i];
        CHECK_FALSE(made.jpeg.empty());
        const ScreenPoint part = made.picture_from_scene(PhotoPoint{60, 50}), above = made.picture_from_scene(PhotoPoint{60, 48});
        const double length = std::hypot(above.x - part.x, above.y - part.y);
        return std::pair((above.x - part.x) / length, (above.y - part.y) / length);
      }
    FAIL("no close-up");
    return std::pair(0.0, 0.0);
  };
  CHECK(up_in_close_up(snapshot).second == doctest::Approx(-1));  // as the photo lies
  Layer layer = *snapshot.layer;
  Mark mark = *layer.marks.all().front();
  Note note;
  note.id.text = "018e0000-0000-7000-8000-000000000401";
  note.text = "with the board this way round";
  note.view = View{Side::top, 90, 2, mark.at};
  note.at = at("2026-03-04T10:15:00Z");
  mark.notes.push_back(note);
  layer.marks = layer.marks.with(std::make_shared<const Mark>(mark));
  const auto turned = up_in_close_up({std::make_shared<const Layer>(layer), snapshot.job});
  CHECK(turned.first == doctest::Approx(1));  // clockwise: up is on the right
  CHECK(std::abs(turned.second) < 1e-6);
  // By the board and not by the photo: one that was taken upside down is turned more.
  job.photos[0].registration->board_from_photo.rows = {-0.5, 0, 60, 0, 0.5, -5, 0, 0, 1};
  const auto from_upside_down = up_in_close_up({std::make_shared<const Layer>(layer), std::make_shared<const Job>(job)});
  CHECK(from_upside_down.first == doctest::Approx(-1));  // up the photo is down the board there
}

TEST_CASE("the record tells how long each ticked step took, from the one before it") {
  Snapshot snapshot = invented_job();
  Job job = *snapshot.job;
  Action& action = job.actions.front();  // begun at 10:30:00
  action.steps = {{"flux", at("2026-03-04T10:31:05Z"), {}}, {"lift", at("2026-03-04T10:31:45Z"), {}}, {"clean", at("2026-03-04T12:33:45Z"), {}}, {"inspect", {}, {}}};
  snapshot.job = std::make_shared<const Job>(job);
  RecordInput input;
  input.snapshot = snapshot;
  const Result<Record> record = record_of(input);
  REQUIRE(record);
  std::map<std::string, std::vector<std::string>> steps;
  for (const Section& section : record->sections)
    for (const Block& block : section.blocks)
      if (const auto* table = std::get_if<Table>(&block); table && table->caption == "Steps")
        for (const TableRow& row : table->rows) steps[row.cells.at(1)] = row.cells;
  REQUIRE(steps.size() == 4);
  CHECK(steps["flux"][3] == "1 min 5 s");
  CHECK(steps["lift"][3] == "40 s");
  CHECK(steps["clean"][3] == "2 h 2 min");
  CHECK(steps["inspect"][2] == "not ticked");
  CHECK(steps["inspect"][3].empty());
}

TEST_CASE("a board folder has no record") {
  RecordInput input;
  input.snapshot.layer = std::make_shared<const Layer>();
  CHECK_FALSE(record_of(input));
}

TEST_CASE("steps of the rework that were not ticked are open at the hand-back, those that were are not") {
  const Snapshot made = invented_job();
  Job job = *made.job;
  Action action = job.actions.front();
  action.refdes = "U5";
  action.steps = {Step{}, Step{}, Step{}};
  action.steps[0].done_at = at("2026-01-31T11:00:00Z");
  job.actions = {action};
  const auto said = [&] {
    const auto open = open_points({made.layer, std::make_shared<const Job>(job)}, at("2026-01-31T12:00:00Z"));
    return std::any_of(open.begin(), open.end(), [](const std::string& p) { return p == "U5: 2 steps of the rework not ticked"; });
  };
  CHECK(said());
  for (Step& step : job.actions[0].steps) step.done_at = at("2026-01-31T11:30:00Z");
  CHECK_FALSE(said());
}

TEST_CASE("handing back lists what is open and wants a reason; then the job is closed") {
  Snapshot snapshot = invented_job();
  const HandBackRequest request{"fixed", 12, "", "Tam Reyes", at("2026-01-31T12:00:00Z")};
  const auto open = open_points(snapshot, request.at);
  CHECK(std::any_of(open.begin(), open.end(), [](const std::string& p) { return p.find("no photo from after") != std::string::npos; }));
  const auto refused = hand_back_edit(snapshot, request);
  REQUIRE_FALSE(refused);
  CHECK(refused.problem().outcome == Outcome::finding);
  HandBackRequest with_reason = request;
  with_reason.reason = "the owner needs it today";
  with_reason.warranty_months = 1;
  const auto edit = hand_back_edit(snapshot, with_reason);
  REQUIRE(edit);
  const auto closed = boardlore::apply(snapshot, *edit);
  REQUIRE(closed);
  CHECK(closed->job->hand_back->warranty_until == "2026-02-28");
  CHECK_FALSE(hand_back_edit(*closed, with_reason));                 // closed already
  CHECK_FALSE(boardlore::apply(*closed, AddReadings{snapshot.job->readings}));  // read-only
  const auto addendum = addendum_edit(*closed, "owner called: still fine", "Tam Reyes", at("2026-02-10T09:00:00Z"), Id{"a"});
  REQUIRE(addendum);
  CHECK(boardlore::apply(*closed, *addendum)->job->addenda.size() == 1);
  CHECK_FALSE(addendum_edit(snapshot, "x", "y", {}, Id{"a"}));
  const auto reopened = boardlore::apply(*closed, *reopen_edit(*closed, "came back", "Tam Reyes", at("2026-02-12T09:00:00Z"), Id{"n"}));
  REQUIRE(reopened);
  CHECK_FALSE(reopened->job->hand_back);
  CHECK(reopened->job->earlier_hand_backs.size() == 1);
  CHECK(reopened->job->notes.back().text.find("came back") != std::string::npos);
}

TEST_CASE("a photo's stage follows from when it was taken") {
  const Snapshot made = invented_job();
  const Job& job = *made.job;  // one rework at 10:30
  CHECK(stage_by_time(job, at("2026-03-04T10:29:59Z"), PhotoStage::intake) == PhotoStage::before);
  CHECK(stage_by_time(job, at("2026-03-04T10:30:01Z"), PhotoStage::intake) == PhotoStage::after);
  CHECK(stage_by_time(job, std::nullopt, PhotoStage::intake) == PhotoStage::intake);
}

TEST_CASE("photos lie in the order they were taken, over time zones; one without a time by when it came in") {
  Snapshot made = invented_job();
  Job job = *made.job;
  const auto add = [&](const char* file, const char* captured, const char* offset, const char* added) {
    Photo photo;
    photo.id.text = file;
    photo.file = file;
    if (*captured) photo.captured_at = at(captured);
    photo.captured_offset = offset;
    photo.added_at = at(added);
    job.photos.push_back(photo);
  };
  add("third.jpg", "2026-03-04T12:30:00+01:00", "+01:00", "2026-03-04T20:00:00Z");   // 11:30 UTC
  add("first.jpg", "2026-03-04T19:00:00+09:00", "+09:00", "2026-03-04T20:00:01Z");   // 10:00 UTC
  add("fourth.jpg", "", "", "2026-03-04T12:00:00Z");
  add("second.jpg", "2026-03-04T06:00:00-05:00", "-05:00", "2026-03-04T20:00:02Z");  // 11:00 UTC
  RecordInput input;
  input.snapshot = {made.layer, std::make_shared<const Job>(job)};
  const Result<Record> record = record_of(input);
  REQUIRE(record);
  const std::string text = record_text(*record);
  std::size_t from = text.find("List of photos");
  REQUIRE(from != std::string::npos);
  for (const char* file : {"first.jpg", "second.jpg", "third.jpg", "fourth.jpg"}) {
    CAPTURE(file);
    const std::size_t there = text.find(file, from);
    REQUIRE(there != std::string::npos);
    from = there;
  }
  CHECK(text.find("2026-03-04 19:00 +09:00") != std::string::npos);  // as the camera's clock said
}

TEST_CASE("the record's text stands out at 4.5:1 in the light and in the dark theme") {
  // Source: WCAG 2.1 success criterion 1.4.3. The colours are read from the style sheet itself.
  const std::string css = record_html_style({});
  const auto colours_of = [&](const std::string& name) {
    std::vector<Colour> found;
    for (std::size_t from = 0; (from = css.find("--" + name + ":#", from)) != std::string::npos && found.size() < 2;) {
      from += name.size() + 4;
      std::string hex = css.substr(from, css.find_first_of(";}", from) - from);
      if (hex.size() == 3) hex = {hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]};
      const unsigned long rgb = std::stoul(hex, nullptr, 16);
      found.push_back({static_cast<std::uint8_t>(rgb >> 16), static_cast<std::uint8_t>(rgb >> 8 & 255), static_cast<std::uint8_t>(rgb & 255)});
    }
    REQUIRE(found.size() == 2);
    return found;
  };
  for (const char* text : {"text", "quiet", "link", "fault"})
    for (const char* ground : {"ground", "card", "lit"})
      for (std::size_t theme : {0U, 1U}) {
        if (ground == std::string("lit") && text == std::string("quiet")) continue;  // captions do not light up
        CAPTURE(text);
        CAPTURE(ground);
        CAPTURE(theme);
        CHECK(contrast_ratio(colours_of(text)[theme], colours_of(ground)[theme]) >= 4.5);
      }
}
