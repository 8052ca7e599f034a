// What an owner must not read: a marker in every private field of a job, looked for in the owner's record in all four
// forms by programs that know nothing of Boardlore (pdftotext, qpdf's unpacked objects, pdfinfo, the bytes themselves).
// The shop's record holds them, so that the search is known to find what is there.
#include <doctest/doctest.h>

#include <fstream>
#include <set>
#include <sstream>

#include "exchange/take_in_photo.h"
#include "pictures/encode.h"
#include "support/places.h"
#include "support/outside_tools.h"
#include "support/run_program.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

const fs::path board_dir = places::source_dir() / "boards/brackenwick-gc12";

// Letters only, so that no form has to escape it and no PDF line breaks it.
std::string marker(const char* of) { return std::string("zq") + of + "qz"; }

// A JPEG with what cameras write about themselves and their owner: a comment and an Exif block with an Artist.
std::string photo_with_private_words() {
  Raster picture;
  picture.width_px = 320;
  picture.height_px = 240;
  picture.rgba.assign(320 * 240 * 4, 120);
  for (std::size_t i = 0; i < picture.rgba.size(); i += 4) picture.rgba[i] = static_cast<std::uint8_t>(i / 1280);
  const std::string plain = *jpeg_bytes(picture, 85);
  const auto segment = [](char kind, const std::string& bytes) {
    const std::size_t length = bytes.size() + 2;
    return std::string("\xFF") + kind + static_cast<char>(length >> 8U) + static_cast<char>(length & 255U) + bytes;
  };
  const std::string artist = marker("artist") + std::string(1, '\0');
  std::string exif("Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x3B\0\x02\0\0\0", 24);  // big endian, one entry: 0x013B, text
  exif += static_cast<char>(artist.size());
  exif += std::string("\0\0\0\x1A\0\0\0\0", 8) + artist;
  return plain.substr(0, 2) + segment('\xE1', exif) + segment('\xFE', marker("comment")) + plain.substr(2);
}

// Every private field filled; what the owner may read is in plain words.
std::set<std::string> make_job(const fs::path& dir) {
  setenv("SOURCE_DATE_EPOCH", "1772618400", 1);
  std::set<std::string> hidden;
  const auto secret = [&](const char* of) { return *hidden.insert(marker(of)).first; };
  Job job;
  job.reported = "stays dark";
  job.unit.serial = "SN-0042";
  job.unit.owner = "Orla Petrie";
  job.unit.unknown["bought_for"] = "\"" + secret("unitcost") + "\"";
  job.unknown["invoice"] = "\"" + secret("invoice") + "\"";
  job.symptom = secret("symptom");
  job.technician = secret("technician");  // somebody else hands it back
  auto folder = Folder::create_job(dir, board_dir, job, make_session("owner test"));
  REQUIRE(folder);
  std::ofstream(dir / "intake.jpg", std::ios::binary) << photo_with_private_words();
  hidden.insert({marker("artist"), marker("comment")});
  const auto photo = take_in_photo(*folder, dir / "intake.jpg", Side::top, PhotoStage::intake);
  REQUIRE(photo);
  const Timestamp now = folder->session().now();
  const auto new_id = [&] { return folder->session().new_id(); };
  const auto marks = find_marks(*folder->now().layer, "U5");
  REQUIRE_FALSE(marks.empty());
  const Id u5 = marks.front()->id;

  Mark noted = *marks.front();
  Note inner;
  inner.id = new_id();
  inner.text = secret("marknote");
  inner.by = secret("marknoteby");
  inner.at = now;
  inner.internal = true;
  noted.notes.push_back(inner);
  inner.id = new_id();
  inner.internal = false;
  inner.text = "for the owner to read";
  inner.by = secret("opennoteby");
  noted.notes.push_back(inner);
  REQUIRE(folder->commit(ChangeMark{noted, ""}));

  Reading reading;
  reading.id = new_id();
  reading.mark = u5;
  reading.refdes = "U5";
  reading.value = 0.35;
  reading.taken_at = now;
  reading.by = secret("readingby");
  reading.words = secret("readingwords");
  reading.typed = secret("typed");
  reading.unknown["x"] = "\"" + secret("readingextra") + "\"";
  REQUIRE(folder->commit(AddReadings{{reading}}));

  Action action;
  action.id = new_id();
  action.mark = u5;
  action.refdes = "U5";
  action.what = "replaced";
  action.words = "turned the right way round";
  action.fitted_marking = "TX 4410";
  action.fitted_source = secret("source");
  action.fitted_price = secret("price");
  action.at = now;
  action.by = secret("actionby");
  action.unknown["margin"] = "\"" + secret("margin") + "\"";
  REQUIRE(folder->commit(PutAction{action}));
  REQUIRE(folder->commit(PutAcknowledgement{{new_id(), u5, "spare", "looked at by eye", secret("passedby"), now, {}}}));
  REQUIRE(folder->commit(PutAcknowledgement{{new_id(), u5, secret("point"), "", secret("acknowledgedby"), now, {}}}));

  Note note;
  note.id = new_id();
  note.text = secret("jobnote");
  note.by = secret("jobnoteby");
  note.at = now;
  note.internal = true;
  REQUIRE(folder->commit(AddJobNote{note}));
  note.id = new_id();
  note.text = "open to the owner";
  note.by = secret("openjobnoteby");
  note.internal = false;
  REQUIRE(folder->commit(AddJobNote{note}));

  Job closing = *folder->now().job;
  KeptComparison comparison;
  comparison.id = new_id();
  comparison.before = comparison.after = photo->id;
  comparison.made_at = now;
  comparison.by = secret("comparedby");
  comparison.parts.push_back({u5, "U5", "same", 0, 0, 0.9, ""});
  closing.comparisons.push_back(comparison);
  closing.earlier_hand_backs.push_back({"not-fixed", 3, "2026-06-04", secret("earlierreason"), secret("earlierby"), now});
  closing.hand_back = HandBack{"fixed", 12, "2027-03-04", secret("overreason"), "Tam Reyes", now};
  closing.addenda.push_back({new_id(), "the owner called", secret("addendumby"), now});
  REQUIRE(folder->commit(ChangeJob{closing, "close"}));
  REQUIRE(folder->save());
  return hidden;
}

// All that can be got out of the file, as text.
std::string everything_in(const fs::path& file) {
  std::string all = text_of(file);
  if (file.extension() != ".pdf") return all;
  const std::string quoted = shell_quoted(file.string());
  // Narrow columns break a word over two lines: once as it stands, once with the breaks taken out.
  if (have("pdftotext")) all += run_shell("pdftotext -raw " + quoted + " -").output + run_shell("pdftotext -raw " + quoted + " - | tr -d '[:space:]'").output;
  if (have("pdfinfo")) all += run_shell("pdfinfo " + quoted).output;
  if (have("qpdf")) all += run_shell("qpdf --qdf --object-streams=disable --stream-data=uncompress " + quoted + " -").output;
  return all;
}

}  // namespace

TEST_CASE("no marker of a private field is in the owner's record, in any form; the shop's has what the shop needs") {
  const TemporaryFolder temporary;
  const fs::path job = temporary.path / "zqfolderqz";  // a folder is often named after its owner
  std::set<std::string> hidden = make_job(job);
  hidden.insert("zqfolderqz");
  for (const char* ending : {".pdf", ".html", ".md", ".json"}) {
    for (const char* audience : {"owner", "shop"}) {
      const fs::path out = temporary.path / (std::string(audience) + ending);
      const RunResult made = run_boardlore("record " + shell_quoted(job.string()) + " -o " + shell_quoted(out.string()) + " --for " + audience);
      REQUIRE_MESSAGE(made.exit_code == 0, made.output);
      const std::string all = everything_in(out);
      std::size_t found = 0;
      for (const std::string& words : hidden) {
        const bool there = all.find(words) != std::string::npos;
        found += there;
        if (audience == std::string("owner")) CHECK_MESSAGE(!there, out.filename().string() << " holds " << words);
      }
      for (const char* open : {"SN-0042", "Orla Petrie", "Tam Reyes", "for the owner to read", "open to the owner", "the owner called", "TX 4410", "looked at by eye"})
        CHECK_MESSAGE(all.find(open) != std::string::npos, out.filename().string() << " lacks " << std::string(open));
      if (audience == std::string("shop"))
        for (const char* needed : {"symptom", "marknote", "opennoteby", "readingby", "readingwords", "source", "price", "actionby", "passedby", "point",
                                   "jobnote", "jobnoteby", "comparedby", "earlierreason", "earlierby", "overreason", "addendumby"})
          CHECK_MESSAGE(all.find(marker(needed)) != std::string::npos, out.filename().string() << " lacks " << std::string(needed));
    }
  }
}
