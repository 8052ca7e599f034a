// What must not leave the shop is planted in every field of a job and its board and in every metadata block of the
// board's photo, and the bytes of what is exported are searched for it: the layer, the photo, the bundle, and what the
// bundle unpacks to.
#include <doctest/doctest.h>
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <exiv2/exiv2.hpp>
#include <filesystem>
#include <fstream>

#include "exchange/bundle.h"
#include "exchange/privacy.h"
#include "pictures/encode.h"
#include "pictures/jpeg_segments.h"
#include "pictures/photo_file.h"
#include "pictures/png_chunks.h"
#include "pictures_made_for_tests.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "support/small_layer.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

const std::string owner = "Zqowner Person", serial = "ZQSERIAL-4711", technician = "Zqtech", colleague = "Zqcolleague", secret = "ZQPLANTED";

Session session(std::uint64_t seed) {
  Session s;
  s.clock = [] { return Timestamp{1'700'000'012'345}; };
  s.ids = std::make_shared<IdSource>(seed, 9);
  s.technician = technician;
  return s;
}

// Every word that was planted, whatever its case, also as UTF-16.
std::vector<std::string> planted_in(std::string bytes) {
  std::transform(bytes.begin(), bytes.end(), bytes.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  std::vector<std::string> found;
  for (const char* word : {"zqowner", "zqserial", "zqtech", "zqcolleague", "zqplanted", "zqhome", "zqmail"}) {
    std::string wide;
    for (const char* c = word; *c != 0; ++c) wide += {*c, '\0'};
    if (bytes.find(word) != std::string::npos || bytes.find(wide) != std::string::npos) found.push_back(word);
  }
  return found;
}

// All that a person might type somewhere.
std::string told(const std::string& what) {
  return what + " of " + owner + ", SN " + serial + ", seen by " + technician + " and " + colleague + ", /home/zqhome/x.jpg, zqmail@shop.example";
}

Photo private_photo(unsigned n, const std::string& file) {
  Photo photo;
  photo.id = numbered_id(n);
  photo.file = file;
  photo.captured_at = Timestamp{1'700'000'000'123};
  photo.captured_offset = "+01:00";
  photo.added_at = Timestamp{1'700'000'000'456};
  photo.note = told("photo");
  photo.linked = {numbered_id(10)};
  photo.width_px = 64, photo.height_px = 48;
  photo.registration = Registration{};
  photo.registration->onto = "photos/" + owner + ".jpg";
  photo.registration->fiducials.push_back(Fiducial{{1, 2}, {3, 4}, told("hole"), {{"later", "\"" + secret + "\""}}});
  photo.registration->unknown["later"] = "\"" + secret + "\"";
  photo.unknown["later"] = "\"" + secret + "\"";
  return photo;
}

Mark private_mark(unsigned n, const char* refdes) {
  Mark mark = part_numbered(n, refdes);
  mark.text = told("text");
  mark.advice = told("advice");
  mark.value = told("value");
  mark.accept = {"TX-1", told("accept")};
  mark.refuse = {told("refuse")};
  mark.orientation = {told("on part"), told("on board")};
  mark.nets["1"] = told("net");
  mark.package = Package{};
  mark.package->name = told("package");
  mark.package->source = told("source");
  mark.package->unknown["later"] = "\"" + secret + "\"";
  mark.limits[0].source = told("limit");
  mark.limits[0].unknown["later"] = "\"" + secret + "\"";
  Sample sample;
  sample.id = numbered_id(700 + n);
  sample.value = 3;
  sample.taken_at = Timestamp{1'700'000'000'789};
  sample.unknown["later"] = "\"" + secret + "\"";
  mark.samples = {sample};
  Note note;
  note.id = numbered_id(800 + n);
  note.text = told("note");
  note.by = colleague;
  note.at = Timestamp{1'700'000'000'999};
  note.unknown["later"] = "\"" + secret + "\"";
  Note internal = note;
  internal.id = numbered_id(850 + n);
  internal.internal = true;
  internal.text = secret;
  mark.notes = {note, internal};
  mark.changed_at = Timestamp{1'700'000'000'111};
  mark.unknown["later"] = "\"" + secret + "\"";
  return mark;
}

// As a camera and a picture editor would leave it, written by Exiv2; blocks that it does not write are put in by hand.
std::string camera_jpeg(const fs::path& scratch) {
  const std::string jpeg = *jpeg_bytes(made::gradient(64, 48), 90);
  std::ofstream(scratch, std::ios::binary) << jpeg;
  const auto image = Exiv2::ImageFactory::open(scratch.string());
  image->readMetadata();
  Exiv2::ExifData& exif = image->exifData();
  exif["Exif.Image.Orientation"] = std::uint16_t{6};
  for (const char* key : {"Exif.Image.Make", "Exif.Image.Model", "Exif.Image.Artist", "Exif.Image.Copyright", "Exif.Image.HostComputer", "Exif.Image.Software",
                          "Exif.Image.ImageDescription", "Exif.Photo.BodySerialNumber", "Exif.Photo.LensSerialNumber", "Exif.Photo.CameraOwnerName",
                          "Exif.Photo.ImageUniqueID", "Exif.Photo.LensModel"})
    exif[key] = secret;
  exif["Exif.Photo.UserComment"] = "charset=Ascii " + secret;
  exif["Exif.Photo.MakerNote"] = secret;
  exif["Exif.Photo.DateTimeOriginal"] = "2026:03:04 10:20:30";
  exif["Exif.GPSInfo.GPSLatitude"] = "48/1 12/1 30/1";
  exif["Exif.GPSInfo.GPSAreaInformation"] = "charset=Ascii " + secret;
  const std::string thumbnail = made::behind_soi(*jpeg_bytes(made::gradient(32, 24), 80), made::segment(0xFE, secret));
  Exiv2::ExifThumb(exif).setJpegThumbnail(reinterpret_cast<const Exiv2::byte*>(thumbnail.data()), static_cast<long>(thumbnail.size()));
  image->xmpData()["Xmp.dc.description"] = secret;
  image->iptcData()["Iptc.Application2.City"] = secret;
  image->setComment(secret);
  std::string profile(200, '\0');
  profile[3] = static_cast<char>(200);
  profile.replace(36, 4, "acsp");
  Exiv2::DataBuf icc(reinterpret_cast<const Exiv2::byte*>(profile.data()), 200);
  image->setIccProfile(icc, false);
  image->writeMetadata();
  std::string taken = *read_file(scratch);
  for (const int marker : {0xE3, 0xE5, 0xEC, 0xEF}) taken = made::behind_soi(taken, made::segment(static_cast<unsigned char>(marker), secret));
  return taken + secret;
}

std::string scan_of(const std::string& jpeg) {
  const Result<JpegSegments> segments = jpeg_segments(made::as_bytes(jpeg), "j");
  REQUIRE(segments);
  std::string scan;
  for (const JpegSegment& segment : segments->segments) scan.append(reinterpret_cast<const char*>(segment.scan.data()), segment.scan.size());
  return scan;
}

}  // namespace

TEST_CASE("nothing planted in any field or metadata block is in the exported layer, photos or bundle") {
  const TemporaryFolder tmp;
  const fs::path board_dir = tmp.path / "b", job_dir = tmp.path / "j";
  const std::string taken = camera_jpeg(tmp.path / "scratch.jpg");
  std::string png = *png_bytes(made::gradient(40, 30));
  {
    std::string chunks;
    for (const char* type : {"tEXt", "zTXt", "iTXt", "eXIf", "tIME", "prVt"}) chunks += png_chunk_bytes(type, "Comment" + std::string(1, '\0') + secret);
    png.insert(8 + 25, chunks);  // behind IHDR (PNG specification 5.3, 11.2.2)
    png += secret;
  }
  {
    Result<Folder> board = Folder::create_board(board_dir, Board{"Maker", "Model", "A", 100.0, 60.0, {}, {}}, session(1));
    REQUIRE(board);
    // Put there by hand, past the scrubbing of `photo add`.
    std::ofstream(board_dir / "Zqowner_top.jpg", std::ios::binary) << taken;
    std::ofstream(board_dir / "bottom.png", std::ios::binary) << png;
    Layer layer = *board->now().layer;
    layer.photos = {private_photo(60, "Zqowner_top.jpg"), private_photo(61, "bottom.png")};
    layer.photos[1].side = Side::bottom;
    layer.photos[1].registration->onto = "Zqowner_top.jpg";
    layer.settings.symptoms = {"dead", told("symptom")};
    layer.faults.push_back({numbered_id(70), numbered_id(72), told("fault"), "C14", told("cure"), 2, "2026-03", {{"later", "\"" + secret + "\""}}});
    layer.symptoms.push_back({numbered_id(71), numbered_id(72), told("counted"), 3});
    layer.disputes.push_back({numbered_id(71), numbered_id(10), "/value", "\"" + told("one") + "\"", "\"" + secret + "\"", {}});
    for (Unknown* unknown : {&layer.unknown, &layer.board.unknown, &layer.settings.unknown}) (*unknown)["later"] = "\"" + secret + "\"";
    layer.marks = layer.marks.with(std::make_shared<const Mark>(private_mark(10, "C14")));
    REQUIRE(write_file_atomically(board_dir / "layer.json", write_layer(layer)));
  }
  Job job;
  job.unit.owner = owner, job.unit.serial = serial, job.unit.condition = secret;
  job.unit.unknown["later"] = "\"" + secret + "\"";
  job.reported = secret, job.technician = technician;
  job.defaults.instrument = secret, job.defaults.ambient = secret;
  Result<Folder> folder = Folder::create_job(job_dir, board_dir, job, session(2));
  REQUIRE_MESSAGE(folder, to_text(folder.problem()));
  REQUIRE(folder->commit(PlaceMark{private_mark(12, "U7")}));
  Reading reading;
  reading.id = numbered_id(80), reading.mark = numbered_id(12), reading.value = 5, reading.by = colleague, reading.words = secret, reading.typed = secret;
  reading.conditions.instrument = secret, reading.conditions.red_lead = secret;
  Note note;
  note.id = numbered_id(81), note.text = secret, note.by = colleague;
  REQUIRE(folder->commit(AddReadings{{reading}}));
  REQUIRE(folder->commit(AddJobNote{note}));
  REQUIRE(folder->save());
  REQUIRE_FALSE(planted_in(*read_file(job_dir / "job.json")).empty());
  REQUIRE_FALSE(planted_in(*read_file(board_dir / "layer.json")).empty());
  REQUIRE_FALSE(planted_in(taken).empty());

  for (const Folder* source : {&*folder}) {
    const fs::path out = tmp.path / "out";
    const Result<SharedFiles> exported = export_layer(*source, out / "layer.json");
    REQUIRE_MESSAGE(exported, to_text(exported.problem()));
    CHECK(exported->words_left_out > 50);
    CHECK(exported->disputes_left_out == 1);
    REQUIRE(export_bundle(*source, tmp.path / "out.zip"));
    std::size_t files = 0;
    for (const auto& entry : fs::directory_iterator(out)) {
      ++files;
      CAPTURE(entry.path().filename().string());
      CHECK(planted_in(entry.path().filename().string()).empty());
      CHECK(planted_in(*read_file(entry.path())) == std::vector<std::string>{});
    }
    CHECK(files == 3);
    CHECK(planted_in(*read_file(tmp.path / "out.zip")) == std::vector<std::string>{});
    const Result<SharedFiles> unpacked = read_bundle_file(tmp.path / "out.zip");
    REQUIRE_MESSAGE(unpacked, to_text(unpacked.problem()));
    CHECK(planted_in(unpacked->layer_json) == std::vector<std::string>{});
    for (const auto& [name, bytes] : unpacked->photos) CHECK(planted_in(name + bytes).empty());
    // What is of use is still there.
    CHECK(unpacked->layer_json.find("\"C14\"") != std::string::npos);
    CHECK(unpacked->layer_json.find("\"U7\"") != std::string::npos);
    CHECK(unpacked->layer_json.find("\"TX-1\"") != std::string::npos);
    char host[256] = "";
    if (::gethostname(host, sizeof host - 1) == 0 && std::strlen(host) > 4) CHECK(unpacked->layer_json.find(host) == std::string::npos);
    // And the search that a person can make agrees.
    for (const fs::path& path : {out, tmp.path / "out.zip"}) {
      const auto found = private_in(path);
      REQUIRE(found);
      for (const PrivateFinding& one : *found) MESSAGE(one.file << " " << one.where << ": " << one.what);
      CHECK(found->empty());
    }
    REQUIRE_FALSE(private_in(board_dir)->empty());
    REQUIRE_FALSE(private_in(job_dir)->empty());

    // The pixels were not encoded again; the turn and the colour profile stay.
    for (const auto& [name, bytes] : unpacked->photos) {
      const bool is_png = bytes.starts_with("\x89PNG");
      const Result<Raster> before = decode_memory(made::as_bytes(is_png ? png : taken), "a"), after = decode_memory(made::as_bytes(bytes), "b");
      REQUIRE(before);
      REQUIRE(after);
      CHECK(*before == *after);
      if (is_png) continue;
      CHECK(scan_of(bytes) == scan_of(taken));
      CHECK(after->width_px == 48);  // orientation 6: upright is 48 wide
      CHECK(bytes.find("acsp") != std::string::npos);
    }
  }
}

TEST_CASE("technicians are named where that is allowed, and nothing else is") {
  const TemporaryFolder tmp;
  Result<Folder> board = Folder::create_board(tmp.path / "b", Board{"Maker", "Model", "A", 100.0, 60.0, {}, {}}, session(1));
  REQUIRE(board);
  REQUIRE(board->commit(PlaceMark{private_mark(10, "C14")}));
  Job job;
  job.unit.owner = owner, job.unit.serial = serial, job.technician = technician;
  REQUIRE(board->save());
  Result<Folder> folder = Folder::create_job(tmp.path / "j", tmp.path / "b", job, session(2));
  REQUIRE(folder);
  const Result<SharedFiles> named = shared_files(*folder, true);
  REQUIRE(named);
  const std::vector<std::string> found = planted_in(named->layer_json);
  CHECK(found == std::vector<std::string>{"zqtech", "zqcolleague"});
}
