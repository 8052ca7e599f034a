// The promises of boards/README.md about documents (F-1 to F-8).
#include "storage/documents.h"

#include <doctest/doctest.h>

#include <string>

#include "storage/json_text.h"

using namespace boardlore;

namespace {

Id id(int n) {
  char text[40];
  std::snprintf(text, sizeof text, "01900000-0000-7000-8000-%012d", n);
  return Id{text};
}

Layer sample_layer() {
  Layer layer;
  layer.id = id(1);
  layer.board = Board{"Maker \"quoted\"", "Model Ω", "B", 148.0, 96.5, {}, {}};
  Mark u3;
  u3.id = id(3);
  u3.kind = MarkKind::part;
  u3.side = Side::bottom;
  u3.at = {10.1, 20.2};
  u3.rotation_deg = 90;
  u3.refdes = "U3";
  u3.pin1 = Offset{-1, 1};
  u3.package = Package{};
  u3.package->family = PackageFamily::quad;
  u3.package->pins = 48;
  u3.limits.push_back(Limit{id(30), Quantity::diode, "7", Power::off, 0.4, std::nullopt, "service sheet", {}});
  u3.notes.push_back(Note{id(31), "pin 7 lifts\neasily", "7", View{Side::top, 90, 2, {1, 2}}, "", Timestamp{1000}, false, {}});
  Mark keepout;
  keepout.id = id(2);
  keepout.kind = MarkKind::keepout;
  keepout.radius_mm = 4;
  keepout.reason = "heat";
  layer.marks = layer.marks.with(std::make_shared<const Mark>(u3)).with(std::make_shared<const Mark>(keepout));
  Photo photo;
  photo.id = id(4);
  photo.file = "top.jpg";
  photo.registration = Registration{};
  photo.registration->fiducials.push_back(Fiducial{{1.5, 2.5}, {3, 4}, "hole", {}});
  layer.photos.push_back(photo);
  return layer;
}

}  // namespace

TEST_CASE("F-2: the same document is the same bytes, and reads back equal") {
  const Layer layer = sample_layer();
  const std::string text = write_layer(layer);
  const Result<Layer> read = read_layer(text, "layer.json");
  REQUIRE_MESSAGE(read, to_text(read.problem()));
  CHECK(*read == layer);
  CHECK(write_layer(*read) == text);
  CHECK(text.starts_with("{\n \"format\": \"boardlore-layer\",\n \"version\": \"1.0\",\n"));
  CHECK(text.find(id(2).text) < text.find(id(3).text));  // marks by rising id
}

TEST_CASE("F-3: members that this version does not know survive, at every level") {
  std::string text = write_layer(sample_layer());
  const auto insert = [&](const std::string& before, const std::string& what) { text.insert(text.find(before), what); };
  insert("\"marks\"", "\"later_top\": {\"a\": [1, 2.5, null]},\n ");
  insert("\"refdes\": \"U3\"", "\"later_mark\": \"x\", ");
  insert("\"photo_px\"", "\"later_point\": true, ");
  const Result<Layer> read = read_layer(text, "layer.json");
  REQUIRE_MESSAGE(read, to_text(read.problem()));
  const std::string again = write_layer(*read);
  CHECK(again.find("\"later_top\": {\"a\":[1,2.5,null]}") != std::string::npos);
  CHECK(again.find("\"later_mark\": \"x\"") != std::string::npos);
  CHECK(again.find("\"later_point\": true") != std::string::npos);
  CHECK(write_layer(*read_layer(again, "")) == again);
}

TEST_CASE("F-4: a newer minor version opens and stays, a newer major version is refused") {
  std::string text = write_layer(sample_layer());
  const auto versioned = [&](const char* version) {
    std::string changed = text;
    return changed.replace(changed.find("\"1.0\""), 5, version);
  };
  const Result<Layer> minor = read_layer(versioned("\"1.7\""), "l");
  REQUIRE(minor);
  CHECK(write_layer(*minor).find("\"version\": \"1.7\"") != std::string::npos);
  const Result<Layer> major = read_layer(versioned("\"2.0\""), "l");
  REQUIRE_FALSE(major);
  CHECK(major.problem().where == "/version");
}

TEST_CASE("F-5: rubbish is refused with its place and what was expected") {
  struct Row {
    const char *text, *where;
  };
  const std::string deep(100, '[');
  const Row rows[] = {
      {"", "byte"},
      {"{", "byte"},
      {"[1, 2", "byte"},
      {deep.c_str(), "/0"},
      {"{\"a\": 1, \"a\": 2}", "/a"},
      {"{\"a\": 1e999}", "byte"},
      {"{\"a\": \"\xff\"}", "byte"},
      {"{\"a\": NaN}", "byte"},
      {"{\"a\": 01}", "byte"},
      {"{} x", "byte"},
      {"\xEF\xBB\xBF[", "byte"},
      {"{\"format\": \"other\"}", "the top"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.text);
    const Result<Layer> read = read_layer(row.text, "l.json");
    REQUIRE_FALSE(read);
    CHECK(read.problem().where.find(row.where) != std::string::npos);
    CHECK_FALSE(read.problem().expected.empty());
  }
  std::string text = write_layer(sample_layer());
  text.replace(text.find("[10.1, 20.2]"), 12, "[10.1, \"x\"]");
  const Result<Layer> read = read_layer(text, "layer.json");
  REQUIRE_FALSE(read);
  CHECK(to_text(read.problem()) == "layer.json at /marks/1/at_mm: expected two numbers [x, y], found [10.1,\"x\"]");
}

TEST_CASE("F-6: a photo's file never leaves its folder") {
  for (const char* name : {"../x.jpg", "/etc/passwd", "a/../../b", "", "a//b", "C:x", "a\\b", "a\nb"}) {
    Layer layer = sample_layer();
    layer.photos[0].file = name;
    CHECK_FALSE(read_layer(write_layer(layer), "l"));
  }
}

TEST_CASE("a job holds only the marks it changed, and lays them over its board again") {
  const Layer board = sample_layer();
  Layer now = board;
  Mark moved = *board.marks.find(id(3));
  moved.at.x_mm += 0.5;
  Mark added = moved;
  added.id = id(9);
  added.refdes = "C14";
  now.marks = now.marks.with(std::make_shared<const Mark>(moved)).with(std::make_shared<const Mark>(added)).without(id(2));
  Job job;
  job.id = id(100);
  job.board.layer = board.id;
  const JobDocument document = job_document(job, board, now);
  CHECK(document.marks.size() == 2);
  CHECK(document.marks_before.size() == 1);
  CHECK(document.removed_marks.size() == 1);
  const std::string text = write_job(document);
  const Result<JobDocument> read = read_job(text, "job.json");
  REQUIRE_MESSAGE(read, to_text(read.problem()));
  CHECK(*read == document);
  CHECK(write_job(*read) == text);
  CHECK(layer_of_job(board, *read).marks == now.marks);
}

TEST_CASE("every cut of a document is refused or read, never worse") {
  const std::string text = write_layer(sample_layer());
  for (std::size_t n = 0; n + 2 < text.size(); ++n) CHECK_FALSE(read_layer(text.substr(0, n), "cut"));
}
