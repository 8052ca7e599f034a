// The record's page read by programs that know nothing of Boardlore: two HTML parsers (html5lib, tidy) and
// Chromium, which opens it, reads its accessibility tree, hovers, slides, narrows and prints it
// (drive_record.py). Once with plain words, once with hostile ones in every field that takes text.
#include <doctest/doctest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "exchange/take_in_photo.h"
#include "reference/python_run.h"
#include "support/places.h"
#include "support/outside_tools.h"
#include "support/run_program.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

const fs::path board_dir = places::source_dir() / "boards/brackenwick-gc12";
const std::string hostile =
    "\"'></td></table><script>alert(1)</script><img src=x onerror=alert(2)><svg onload=alert(3)>&#x3c;iframe src=//example.net&#x3e; "
    "{{7*7}} <style>*{display:none}</style> ]]> --> ` [x](javascript:alert(4)) \xE2\x80\xAE \x01";

// U5 was turned and C16 replaced, on the demo board; `words` in every field that takes free text.
void make_job(const fs::path& dir, const std::string& words) {
  setenv("SOURCE_DATE_EPOCH", "1772618400", 1);
  Job job;
  job.reported = job.symptom = words;
  job.unit = {words, words, words, {}};
  job.technician = words;
  auto folder = Folder::create_job(dir, board_dir, job, make_session("page test"));
  REQUIRE(folder);
  const auto truth = nlohmann::json::parse(text_of(board_dir / "later-unit/truth.json"));
  for (const auto& [file, stage] : {std::pair{"later_before.jpg", PhotoStage::before}, std::pair{"later_after.jpg", PhotoStage::after}}) {
    const auto photo = take_in_photo(*folder, board_dir / "later-unit" / file, Side::top, stage);
    REQUIRE(photo);
    Photo noted = *photo;
    noted.note = words;
    Registration registration;
    for (const auto& shot : truth["photos"])
      if (shot["file"].get<std::string>().find(file) != std::string::npos) {
        PhotoFromBoard photo_from_board;
        for (std::size_t i = 0; i < 9; ++i) photo_from_board.rows[i] = shot["photo_from_board"][i];
        registration.board_from_photo = *photo_from_board.inverse();
      }
    registration.px_per_mm = 15;
    noted.registration = registration;
    REQUIRE(folder->commit(PutPhoto{noted}));
  }
  const Timestamp now = folder->session().now();
  for (const char* refdes : {"U5", "C16", "BT1"}) {
    const auto marks = find_marks(*folder->now().layer, refdes);
    REQUIRE_FALSE(marks.empty());
    Reading reading;
    reading.id = folder->session().new_id();
    reading.mark = marks.front()->id;
    reading.refdes = refdes;
    reading.value = 0.35;
    reading.taken_at = now;
    reading.by = reading.words = reading.conditions.instrument = reading.conditions.red_lead = words;
    REQUIRE(folder->commit(AddReadings{{reading}}));
    if (refdes == std::string("BT1")) continue;  // read only: no close-up of its own
    Action action;
    action.id = folder->session().new_id();
    action.mark = reading.mark;
    action.refdes = refdes;
    action.what = action.words = action.by = action.fitted_marking = action.fitted_lot = action.fitted_source = action.fitted_price = words;
    action.pin = words;
    action.process.alloy = action.process.flux = action.process.air_setting = words;
    action.steps = {{words, now, {}}, {"clean", Timestamp{now.ms + 65000}, {}}};
    action.at = now;
    REQUIRE(folder->commit(PutAction{action}));
    Acknowledgement passed{folder->session().new_id(), reading.mark, words, words, words, now, {}};
    REQUIRE(folder->commit(PutAcknowledgement{passed}));
  }
  Note note;
  note.id = folder->session().new_id();
  note.text = note.by = words;
  note.at = now;
  REQUIRE(folder->commit(AddJobNote{note}));
  Mark marked = *find_marks(*folder->now().layer, "U5").front();
  marked.value = marked.text = words;
  marked.notes.push_back(note);
  REQUIRE(folder->commit(ChangeMark{marked, ""}));
  Job closing = *folder->now().job;
  closing.board.maker = words;  // of the job: the board's own is its folder's
  closing.checks.push_back({words, now});
  KeptComparison comparison;
  comparison.id = folder->session().new_id();
  comparison.before = closing.photos[0].id;
  comparison.after = closing.photos[1].id;
  comparison.made_at = now;
  comparison.by = words;
  comparison.parts.push_back({marked.id, words, words, 180, 0, 0.9, words});
  comparison.parts.push_back({find_marks(*folder->now().layer, "C16").front()->id, words, "turned", 180, 0, 0.9, words});
  comparison.parts.push_back({find_marks(*folder->now().layer, "C1").front()->id, words, "missing", 0, 0, 0.9, words});
  closing.comparisons.push_back(comparison);
  closing.spares.push_back({folder->session().new_id(), marked.id, words, words, now});
  closing.earlier_hand_backs.push_back({"not-fixed", 3, words, words, words, now});
  closing.addenda.push_back({folder->session().new_id(), words, words, now});
  closing.hand_back = HandBack{"fixed", 12, "2027-03-04", words, words, now};
  REQUIRE(folder->commit(ChangeJob{closing, "close"}));
  REQUIRE(folder->save());
}

void make_page(const fs::path& job, const fs::path& out, const char* audience) {
  const RunResult made = run_boardlore("record " + shell_quoted(job.string()) + " -o " + shell_quoted(out.string()) + " --for " + audience,
                                       "SOURCE_DATE_EPOCH=1772700000");
  REQUIRE_MESSAGE(made.exit_code == 0, made.output);
}

void validate(const fs::path& page) {
  if (python_has("html5lib")) {
    const auto errors = python_output(
        "import sys,html5lib\np=html5lib.HTMLParser()\np.parse(open(sys.stdin.read().strip(),'rb'))\nprint(len(p.errors),p.errors[:3])\n", page.string());
    REQUIRE(errors);
    CHECK_MESSAGE(errors->starts_with("0 "), *errors);
  } else {
    MESSAGE("skipped: html5lib is not installed");
  }
  // exit code 1: warnings, 2: errors
  if (have("tidy")) {
    const RunResult told = run_shell("tidy -q -e " + shell_quoted(page.string()) + " 2>&1");
    CHECK_MESSAGE(told.exit_code == 0, told.output);
  }
}

// What drive_record.py saw; null: there is no Chromium.
nlohmann::json driven(const fs::path& page, const fs::path& printed) {
  if (!have("chromium")) return nullptr;
  const RunResult seen = run_shell("/usr/bin/python3 " + shell_quoted((places::source_dir() / "tests/reference/drive_record.py").string()) +
                                   " chromium " + shell_quoted(page.string()) + " " + shell_quoted(printed.string()));
  REQUIRE_MESSAGE(seen.exit_code == 0, seen.output);
  return nlohmann::json::parse(seen.output);
}

// Nothing of the job's text became more than text, nothing was fetched, and every image, link and control has a name.
void check_inert(const nlohmann::json& seen) {
  CHECK(seen["scripts"] == 0);
  CHECK(seen["handlers"] == 0);
  CHECK(seen["requests"].empty());
  CHECK_MESSAGE(seen["complaints"].empty(), seen["complaints"].dump());
  CHECK_MESSAGE(seen["nameless"].empty(), seen["nameless"].dump());
  CHECK(seen["narrow_width"] == 360);
  CHECK_MESSAGE(seen["narrow_out"].empty(), seen["narrow_out"].dump());
}

}  // namespace

TEST_CASE("the record's page in Chromium: hovering, keyboard, slider, dark, phone, paper, screen reader") {
  const TemporaryFolder temporary;
  const fs::path page = temporary.path / "record.html", printed = temporary.path / "printed.pdf";
  make_job(temporary.path / "job", "stays dark");
  make_page(temporary.path / "job", page, "owner");
  validate(page);
  const nlohmann::json seen = driven(page, printed);
  if (seen.is_null()) return;
  check_inert(seen);
  for (const char* role : {"main", "navigation", "banner", "contentinfo", "table", "columnheader", "image", "radio", "figure"})
    CHECK_MESSAGE(seen["roles"].value(role, 0) > 0, role);
  for (const char* heading : {"The unit", "What was found", "Cautions", "Warranty", "List of photos", "Digest"})
    CHECK_MESSAGE(std::find(seen["headings"].begin(), seen["headings"].end(), heading) != seen["headings"].end(), heading);
  REQUIRE(seen["mark_with_row"] == true);
  CHECK(seen["hover_row"][0][0] != seen["hover_row"][1][0]);  // the row's ground
  CHECK(seen["hover_row"][0][1] != seen["hover_row"][1][1]);  // the mark's line
  REQUIRE(seen["mark_found_by_pointer"] == true);
  CHECK(seen["hover_mark"][0][0] != seen["hover_mark"][1][0]);
  REQUIRE(seen["row_takes_focus"] == true);
  CHECK(seen["focus_row"][0] != seen["focus_row"][1]);
  REQUIRE(seen["wipes"].get<int>() >= 2);
  CHECK(seen["wipe"][0] != seen["wipe"][1]);
  CHECK(seen["grounds"][0] != seen["grounds"][1]);
  if (have("pdftotext")) {
    const std::string paper = run_shell("pdftotext -layout " + shell_quoted(printed.string()) + " -").output;
    for (const char* word : {"Repair record: stays dark GC-12", "U5 before", "U5 after", "SHA-256"}) CHECK_MESSAGE(paper.find(word) != std::string::npos, word);
    CHECK(paper.find("Wipe from before") == std::string::npos);
  }
}

TEST_CASE("hostile words in every field stay words: on the page, on paper, in the PDF's text, in Markdown") {
  const TemporaryFolder temporary;
  make_job(temporary.path / "job", hostile);
  for (const char* audience : {"owner", "shop"}) {
    const fs::path page = temporary.path / (std::string(audience) + ".html"), md = temporary.path / (std::string(audience) + ".md"),
                   pdf = temporary.path / (std::string(audience) + ".pdf");
    make_page(temporary.path / "job", page, audience);
    make_page(temporary.path / "job", md, audience);
    make_page(temporary.path / "job", pdf, audience);
    const fs::path json = temporary.path / (std::string(audience) + ".json");
    make_page(temporary.path / "job", json, audience);
    const std::string raw = text_of(json);
    CHECK_FALSE(nlohmann::json::parse(raw, nullptr, false).is_discarded());
    CHECK(std::none_of(raw.begin(), raw.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 && c != '\n'; }));
    validate(page);
    if (const nlohmann::json seen = driven(page, temporary.path / "printed.pdf"); !seen.is_null()) check_inert(seen);
    const std::string plain = text_of(md);
    for (const char* live : {"<script", "<img", "<svg", "<iframe", "<style", "[x](javascript", "\xE2\x80\xAE", "\x01"})
      CHECK_MESSAGE(plain.find(live) == std::string::npos, live);
    if (have("pdftotext")) {
      const std::string text = run_shell("pdftotext -raw " + shell_quoted(pdf.string()) + " -").output;
      CHECK(text.find("alert(1)") != std::string::npos);  // as words
      CHECK(text.find("\xE2\x80\xAE") == std::string::npos);
    }
    if (have("qpdf")) {
      CHECK(run_shell("qpdf --check " + shell_quoted(pdf.string()) + " 2>&1").exit_code == 0);
      const std::string objects = run_shell("qpdf --qdf --object-streams=disable " + shell_quoted(pdf.string()) + " - | grep -a -c -E '/(JavaScript|JS|Launch|URI)\\b'").output;
      CHECK(objects == "0\n");
    }
  }
}
