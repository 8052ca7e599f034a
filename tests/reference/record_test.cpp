// The record checked by programs that know nothing of Boardlore: Poppler (pdftotext, pdfimages), qpdf, and a
// hash program. The job is invented, on the demo board.
#include <doctest/doctest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "commands/program.h"
#include "exchange/take_in_photo.h"
#include "pictures/encode.h"
#include "pictures/sha256.h"
#include "support/places.h"
#include "support/outside_tools.h"
#include "support/run_program.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

const fs::path board_dir = places::source_dir() / "boards/brackenwick-gc12";

Session fixed_session() { return make_session("record test"); }

Id mark_named(const Folder& folder, const char* refdes) {
  const auto marks = find_marks(*folder.now().layer, refdes);
  REQUIRE_FALSE(marks.empty());
  return marks.front()->id;
}

// U5 was turned: found, measured, lifted and fitted the right way round.
void make_job(const fs::path& dir) {
  setenv("SOURCE_DATE_EPOCH", "1772618400", 1);  // 2026-03-04T10:00:00Z
  Job job;
  job.reported = "no output on channel 2; 5 Ω heater stays cold";
  job.unit = {"SN-0042", "Orla Petrie", "clean, no marks of water", {}};
  job.technician = "Tam Reyes";
  auto folder = Folder::create_job(dir, board_dir, job, fixed_session());
  REQUIRE(folder);
  const auto truth = nlohmann::json::parse(text_of(board_dir / "later-unit/truth.json"));
  for (const auto& [file, stage] : {std::pair{"later_before.jpg", PhotoStage::before}, std::pair{"later_after.jpg", PhotoStage::after}}) {
    auto photo = take_in_photo(*folder, board_dir / "later-unit" / file, Side::top, stage);
    REQUIRE(photo);
    Registration registration;
    for (const auto& shot : truth["photos"])
      if (shot["file"].get<std::string>().find(file) != std::string::npos) {
        PhotoFromBoard photo_from_board;
        for (std::size_t i = 0; i < 9; ++i) photo_from_board.rows[i] = shot["photo_from_board"][i];
        registration.board_from_photo = *photo_from_board.inverse();
      }
    registration.px_per_mm = 15;
    REQUIRE(folder->commit(RegisterPhoto{photo->id, registration}));
  }
  Raster small;  // needs no change: must come through untouched
  small.width_px = 640;
  small.height_px = 480;
  small.rgba.resize(640 * 480 * 4);
  for (std::size_t i = 0; i < small.rgba.size(); ++i) small.rgba[i] = static_cast<std::uint8_t>((i * 7 + i / 2560 * 3) & 255);
  REQUIRE(write_jpeg(dir / "small.jpg", small, 85));
  REQUIRE(take_in_photo(*folder, dir / "small.jpg", Side::bottom, PhotoStage::intake));
  const Session session = fixed_session();
  Reading reading;
  reading.id = folder->session().new_id();
  reading.mark = mark_named(*folder, "U5");
  reading.refdes = "U5";
  reading.pin = "3";
  reading.value = 0.35;
  reading.taken_at = session.now();
  REQUIRE(folder->commit(AddReadings{{reading}}));
  Action action;
  action.id = folder->session().new_id();
  action.mark = reading.mark;
  action.refdes = "U5";
  action.what = "replaced";
  action.words = "turned the right way round";
  action.process.air_c = 380;
  action.process.nozzle_mm = 6;
  action.at = Timestamp{session.now().ms + 60000};
  REQUIRE(folder->commit(PutAction{action}));
  REQUIRE(folder->save());
}

int record(const fs::path& job, const fs::path& out, const std::string& more = "") {
  const RunResult result = run_boardlore("record " + shell_quoted(job.string()) + " -o " + shell_quoted(out.string()) + " " + more,
                                         "SOURCE_DATE_EPOCH=1772700000");
  if (result.exit_code != 0) MESSAGE(result.output);
  return result.exit_code;
}

}  // namespace

TEST_CASE("the PDF's words are found by pdftotext, its structure is sound to qpdf, its photos are JPEG") {
  const TemporaryFolder temporary;
  const fs::path job = temporary.path / "job", pdf = temporary.path / "record.pdf";
  make_job(job);
  for (const char* paper : {"--paper a4", "--paper letter"}) {
    REQUIRE(record(job, pdf, paper) == 0);
    CHECK(fs::file_size(pdf) < 2'000'000);
    if (have("pdftotext")) {
      const std::string text = run_shell("pdftotext -layout " + shell_quoted(pdf.string()) + " -").output;
      for (const char* word : {"Brackenwick GC-12", "SN-0042", "U5", "replaced", "hot air 380 °C", "SHA-256", "Page 1 of", "Ω"})
        CHECK_MESSAGE(text.find(word) != std::string::npos, word);
    }
    if (have("qpdf")) CHECK(run_shell("qpdf --check " + shell_quoted(pdf.string()) + " 2>&1").exit_code == 0);
    if (have("qpdf")) {
      const auto outlines = nlohmann::json::parse(run_shell("qpdf --json --json-key=outlines " + shell_quoted(pdf.string())).output)["outlines"];
      for (const char* title : {"The unit", "Work on U5", "Digest"}) {
        const bool found = std::any_of(outlines.begin(), outlines.end(), [&](const auto& one) { return one["title"].template get<std::string>().starts_with(title); });
        CHECK_MESSAGE(found, title);
      }
    }
    // The overlay is lines and not pixels: a part's outline in its colour (Okabe and Ito's sky blue, 86 180 233).
    if (have("pdftocairo")) {
      const std::string pages = run_shell("for p in 1 2 3; do pdftocairo -svg -f $p -l $p " + shell_quoted(pdf.string()) + " -; done").output;
      CHECK(pages.find("rgb(33.72") != std::string::npos);
    }
    if (have("pdfinfo")) {
      const std::string information = run_shell("pdfinfo " + shell_quoted(pdf.string())).output;
      CHECK(information.find("Tagged:          yes") != std::string::npos);
      CHECK(information.find("Repair record: Brackenwick GC-12") != std::string::npos);
      CHECK(information.find(paper == std::string("--paper a4") ? "(A4)" : "(letter)") != std::string::npos);
    }
  }
  if (have("pdfimages")) {
    const std::string prefix = (temporary.path / "image").string();
    REQUIRE(run_shell("pdfimages -all " + shell_quoted(pdf.string()) + " " + shell_quoted(prefix)).exit_code == 0);
    // The photo that needed no change is in it byte for byte.
    const std::string small = text_of(job / "small.jpg");
    bool untouched = false;
    std::size_t jpegs = 0;
    for (const auto& file : fs::directory_iterator(temporary.path))
      if (file.path().filename().string().starts_with("image")) {
        CHECK(file.path().extension() == ".jpg");
        ++jpegs;
        untouched = untouched || text_of(file.path()) == small;
      }
    CHECK(jpegs >= 6);
    CHECK(untouched);
  }
}

TEST_CASE("a record made twice is the same to the byte, in every form") {
  const TemporaryFolder temporary;
  const fs::path job = temporary.path / "job";
  make_job(job);
  for (const char* audience : {"--for owner", "--for shop"})
    for (const char* ending : {".pdf", ".html", ".json", ".md"}) {
      const fs::path one = temporary.path / (std::string("one") + ending), two = temporary.path / (std::string("two") + ending);
      REQUIRE(record(job, one, audience) == 0);
      REQUIRE(record(job, two, audience) == 0);
      CHECK(text_of(one) == text_of(two));
      CHECK_FALSE(text_of(one).empty());
    }
}

TEST_CASE("compare --keep: the job remembers, the record tells, the hand-back no longer asks") {
  const TemporaryFolder temporary;
  const fs::path job = temporary.path / "job", md = temporary.path / "record.md";
  make_job(job);
  const std::string quoted = shell_quoted(job.string());
  CHECK(run_boardlore("hand-back " + quoted + " --outcome fixed").output.find("U5 was worked on, and not compared") != std::string::npos);
  const RunResult compared = run_boardlore("compare " + quoted + " later_before.jpg later_after.jpg --keep", "SOURCE_DATE_EPOCH=1772619000 BOARDLORE_TECHNICIAN='Ines Kolb'");
  CHECK(compared.exit_code == 1);  // it found something
  CHECK(compared.output.find("kept in the job") != std::string::npos);
  const auto document = nlohmann::json::parse(text_of(job / "job.json"));
  REQUIRE(document["comparisons"].size() == 1);
  const auto& parts = document["comparisons"][0]["parts"];
  const auto of = [&](const char* refdes) { return *std::find_if(parts.begin(), parts.end(), [&](const auto& part) { return part["refdes"] == refdes; }); };
  CHECK(of("U5")["verdict"] == "turned");
  CHECK(of("U5")["turn_deg"] == 180);
  CHECK(of("C16")["verdict"] == "missing");
  CHECK(document["comparisons"][0]["by"] == "Ines Kolb");
  const RunResult open = run_boardlore("hand-back " + quoted + " --outcome fixed", "SOURCE_DATE_EPOCH=1772620000");
  CHECK(open.exit_code == 1);
  CHECK(open.output.find("not compared") == std::string::npos);
  CHECK(open.output.find("U5 looks turned by 180° since before") != std::string::npos);
  CHECK(open.output.find("C16 looks missing since before") != std::string::npos);
  REQUIRE(record(job, md) == 0);
  CHECK(text_of(md).find("Comparison: turned by 180°") != std::string::npos);
  CHECK(text_of(md).find("aid to the eye") != std::string::npos);
  CHECK(text_of(md).find("C16 after") != std::string::npos);
  CHECK(text_of(md).find("Ines Kolb") == std::string::npos);
  // A person at a terminal is asked for the reason; Enter alone leaves the job open.
  if (have("script")) {
    const std::string at_terminal = "script -qec " + shell_quoted(shell_quoted(places::program().string()) + " hand-back " + quoted + " --outcome not-fixed") + " /dev/null";
    CHECK(run_shell("printf '\\n' | SOURCE_DATE_EPOCH=1772620000 " + at_terminal + " 2>&1").output.find("Why is it closed all the same?") != std::string::npos);
    CHECK_FALSE(nlohmann::json::parse(text_of(job / "job.json")).contains("hand_back"));
    run_shell("printf 'owner fetched it\\n' | SOURCE_DATE_EPOCH=1772620000 " + at_terminal + " 2>&1");
    CHECK(nlohmann::json::parse(text_of(job / "job.json"))["hand_back"]["reason"] == "owner fetched it");
    REQUIRE(run_boardlore("reopen " + quoted + " --reason 'fetched too early'").exit_code == 0);
  }
  // Not into a board, nor into a job that was handed back.
  CHECK(run_boardlore("compare " + shell_quoted(board_dir.string()) + " a b --keep").exit_code == 2);
  REQUIRE(run_boardlore("hand-back " + quoted + " --outcome fixed --reason 'looked at by eye'").exit_code == 0);
  CHECK(run_boardlore("compare " + quoted + " later_before.jpg later_after.jpg --keep").exit_code == 2);
}

TEST_CASE("the digest in record.md is what sha256sum says of the lines above it") {
  if (!have("sha256sum")) return;
  const TemporaryFolder temporary;
  const fs::path job = temporary.path / "job", md = temporary.path / "record.md";
  make_job(job);
  REQUIRE(record(job, md, "--for shop") == 0);
  const std::string text = text_of(md);
  const std::size_t end = text.find("\n## Digest\n");
  REQUIRE(end != std::string::npos);
  std::ofstream(temporary.path / "above") << text.substr(0, end);
  const std::string said = run_shell("sha256sum " + shell_quoted((temporary.path / "above").string())).output.substr(0, 64);
  CHECK(text.find(said) != std::string::npos);
}

TEST_CASE("a photo changed after it was taken in is told in the record") {
  const TemporaryFolder temporary;
  const fs::path job = temporary.path / "job", md = temporary.path / "record.md";
  make_job(job);
  std::ofstream(job / "photos/small.jpg", std::ios::app) << "x";
  REQUIRE(record(job, md) == 0);
  CHECK(text_of(md).find("changed since it was taken in") != std::string::npos);
}

TEST_CASE("a watched folder: each picture once, only when whole, whatever happens meanwhile") {
  const TemporaryFolder temporary;
  const fs::path job = temporary.path / "job", camera = temporary.path / "camera";
  make_job(job);
  fs::create_directory(camera);
  const std::string whole = text_of(board_dir / "later-unit/later_top.jpg");
  fs::copy_file(board_dir / "later-unit/later_top.jpg", camera / "A.jpg");
  fs::copy_file(board_dir / "later-unit/later_top.jpg", camera / "B.jpg");        // the same picture again
  fs::copy_file(board_dir / "later-unit/later_before.jpg", camera / "C.jpg");     // in the job already
  std::ofstream(camera / "D.jpg", std::ios::binary) << whole.substr(0, whole.size() / 2);  // never finished
  std::ofstream(camera / "E.jpg") << "no picture";
  std::ofstream(camera / "F.txt") << "not looked at";
  const RunResult result = run_boardlore("watch " + shell_quoted(job.string()) + " " + shell_quoted(camera.string()) +
                                         " --stage during --interval 0.1 --for 2");
  CHECK(result.exit_code == 0);
  CHECK(result.output.find("added photos/") != std::string::npos);
  const auto document = nlohmann::json::parse(text_of(job / "job.json"));
  CHECK(document["photos"].size() == 4);
  CHECK(document["photos"].back()["stage"] == "during");
  CHECK(document["photos"].back().contains("registration"));  // it found its own place
  CHECK(text_of(camera / "A.jpg") == whole);
}
