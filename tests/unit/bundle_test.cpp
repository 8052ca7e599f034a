// A bundle there and back, and what a hostile one may not do. Archives are made with libzip, the reference library, and
// by changing bytes where PKWARE's APPNOTE 6.3.9 (4.3.7, 4.3.12) says they lie.
#include "exchange/bundle.h"

#include <doctest/doctest.h>
#include <zip.h>

#include <filesystem>
#include <fstream>

#include "exchange/cover_photo.h"
#include "exchange/privacy.h"
#include "pictures/encode.h"
#include "pictures/photo_file.h"
#include "pictures_made_for_tests.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "support/command_bench.h"
#include "support/small_layer.h"
#include "support/temporary_folder.h"

using namespace boardlore;
namespace fs = std::filesystem;

namespace {

struct Entry {
  std::string name, bytes;
  bool deflate = true;
  zip_uint32_t mode = 0100644;
};

std::string zip_of(const fs::path& scratch, const std::vector<Entry>& entries) {
  const fs::path file = scratch / "made.zip";
  fs::remove(file);
  int error = 0;
  zip_t* archive = zip_open(file.c_str(), ZIP_CREATE | ZIP_TRUNCATE, &error);
  REQUIRE(archive != nullptr);
  for (const Entry& entry : entries) {
    zip_source_t* source = zip_source_buffer(archive, entry.bytes.data(), entry.bytes.size(), 0);
    const zip_int64_t index = zip_file_add(archive, entry.name.c_str(), source, ZIP_FL_ENC_UTF_8);
    REQUIRE(index >= 0);
    zip_set_file_compression(archive, static_cast<zip_uint64_t>(index), entry.deflate ? ZIP_CM_DEFLATE : ZIP_CM_STORE, 9);
    zip_file_set_external_attributes(archive, static_cast<zip_uint64_t>(index), 0, ZIP_OPSYS_UNIX, entry.mode << 16U);
  }
  REQUIRE(zip_close(archive) == 0);
  return *read_file(file);
}

std::string photo_bytes(int width_px = 64) { return *jpeg_bytes(made::gradient(width_px, 48), 90); }

Layer layer_with(const std::string& photo_file, const std::string& bytes) {
  Layer layer = small_layer();
  Photo photo;
  photo.id = numbered_id(50);
  photo.file = photo_file;
  photo.sha256 = sha256_hex(bytes);
  layer.photos.push_back(photo);
  return layer;
}

void refused(const std::string& bytes, const std::string& word) {
  const Result<SharedFiles> files = read_bundle(bytes, "b.zip");
  REQUIRE_FALSE(files);
  const std::string said = to_text(files.problem());
  CAPTURE(said);
  CHECK(said.find(word) != std::string::npos);
  CHECK_FALSE(files.problem().expected.empty());
}

// Every name in the archive (local header and directory) replaced by one of the same length.
std::string renamed(std::string zip, const std::string& from, const std::string& to) {
  REQUIRE(from.size() == to.size());
  std::size_t changed = 0;
  for (std::size_t at = zip.find(from); at != std::string::npos; at = zip.find(from, at + 1)) zip.replace(at, from.size(), to), ++changed;
  REQUIRE(changed >= 2);
  return zip;
}

}  // namespace

TEST_CASE("a board goes into a bundle and comes out of it in another shop, and the same board is the same bytes") {
  const CommandBench bench;
  const std::string dir = (bench.tmp.path / "b").string(), zip = (bench.tmp.path / "out.zip").string();
  bench.exits(0, "new board " + dir + " --maker Maker --model Model --revision A --size 100x60");
  made::Folder pictures;
  bench.exits(0, "photo add " + dir + " " + pictures.put("top.jpg", photo_bytes()).string() + " --side top");
  bench.exits(0, "mark add " + dir + " --kind probe --side top --at 10,20 --refdes TP1");
  bench.exits(0, "export " + dir + " --bundle " + zip);
  const std::string first = *read_file(zip);
  bench.exits(0, "export " + dir + " --bundle " + zip);
  CHECK(*read_file(zip) == first);
  bench.exits(0, "privacy " + zip);
  const std::string other = (bench.tmp.path / "other shop/boards/model").string();
  bench.exits(0, "unpack " + zip + " '" + other + "'");
  CHECK(*read_file(fs::path(other) / "top.jpg") == *read_file(fs::path(dir) / "top.jpg"));
  CHECK(bench.run("marks '" + other + "'").output.find("TP1") != std::string::npos);
  // Never over anything.
  bench.refuses("unpack " + zip + " '" + other + "'", "already");
  bench.refuses("unpack " + (bench.tmp.path / "missing.zip").string() + " " + (bench.tmp.path / "new").string(), "read");
  bench.refuses("export " + dir, "one of -o FILE, --bundle FILE and --into-board");
  CHECK_FALSE(fs::exists(bench.tmp.path / "new"));
  // Straight into the folder again: the same bundle.
  bench.exits(0, "export '" + other + "' --bundle " + (bench.tmp.path / "again.zip").string());
  CHECK(*read_file(bench.tmp.path / "again.zip") == first);
}

TEST_CASE("zip slip: a name that leaves the folder is refused, and nothing is written") {
  const TemporaryFolder tmp;
  const std::string photo = photo_bytes();
  for (const char* name : {"../evil.jpg", "../../etc/x.jpg", "/etc/evil.jpg", "a/../../x.jpg", "sub/evil.jpg", "..\\evil.jpg", "C:evil.jpg", ".hidden.jpg", "con\ntrol.jpg"}) {
    CAPTURE(name);
    const std::string zip = zip_of(tmp.path, {{"layer.json", write_layer(small_layer())}, {name, photo}});
    refused(zip, "plain name");
    std::ofstream(tmp.path / "b.zip", std::ios::binary) << zip;
    CHECK_FALSE(unpack_bundle(tmp.path / "b.zip", tmp.path / "in/b"));
    CHECK_FALSE(fs::exists(tmp.path / "in"));
    CHECK_FALSE(fs::exists(tmp.path / "evil.jpg"));
  }
  // And where the layer names it.
  Layer layer = layer_with("top.jpg", photo);
  layer.photos[0].file = "../top.jpg";
  CHECK_FALSE(read_bundle(zip_of(tmp.path, {{"layer.json", write_layer(layer)}}), "b"));
  // A name changed in one of the two places an archive has it.
  const std::string good = zip_of(tmp.path, {{"layer.json", write_layer(layer_with("top.jpg", photo))}, {"top.jpg", photo}});
  REQUIRE(read_bundle(good, "b"));
  std::string two_names = good;
  two_names.replace(two_names.find("top.jpg"), 7, "../.jpg");
  CHECK_FALSE(read_bundle(two_names, "b"));
}

TEST_CASE("zip bomb: what unpacks to far more than it is, or to more than is allowed, is refused") {
  const TemporaryFolder tmp;
  const std::string zeros(64U << 20U, '\0');
  refused(zip_of(tmp.path, {{"layer.json", zeros}}), "bomb");
  refused(zip_of(tmp.path, {{"layer.json", write_layer(small_layer())}, {"a.jpg", zeros}}), "bomb");
  // Bombs in a bomb are no photo.
  const std::string inner = zip_of(tmp.path, {{"x", zeros}});
  refused(zip_of(tmp.path, {{"layer.json", write_layer(layer_with("a.jpg", inner))}, {"a.jpg", inner}}), "JPEG or PNG");
  std::vector<Entry> many{{"layer.json", write_layer(small_layer())}};
  for (std::size_t i = 0; i < max_bundle_entries; ++i) many.push_back({std::to_string(i) + ".jpg", "x"});
  refused(zip_of(tmp.path, many), "400 files");
  // A directory that promises other sizes than come out. APPNOTE 4.3.12: uncompressed size at 24 of the header.
  const std::string photo = photo_bytes();
  const std::string good = zip_of(tmp.path, {{"layer.json", write_layer(layer_with("top.jpg", photo))}, {"top.jpg", photo, false}});
  for (const int change : {-10, 10, 100'000}) {
    std::string lying = good;
    const std::size_t at = lying.find("PK\x01\x02");
    std::uint32_t size = 0;
    std::memcpy(&size, lying.data() + at + 24, 4);
    size += static_cast<std::uint32_t>(change);
    std::memcpy(lying.data() + at + 24, &size, 4);
    CHECK_FALSE(read_bundle(lying, "b"));
  }
}

TEST_CASE("a bundle cannot overwrite, link, hide, or bring what nobody asked for") {
  const TemporaryFolder tmp;
  const std::string photo = photo_bytes(), layer = write_layer(layer_with("top.jpg", photo));
  refused(zip_of(tmp.path, {{"layer.json", layer}, {"top.jpg", "/etc/passwd", false, 0120777}}), "link");
  refused(zip_of(tmp.path, {{"layer.json", layer}, {"top.jpg", photo}, {"other.jpg", photo}}), "does not");
  refused(zip_of(tmp.path, {{"layer.json", layer}, {"top.jpg", photo}, {"TOP.jpg", photo}}), "twice");
  refused(renamed(zip_of(tmp.path, {{"layer.json", layer}, {"top.jpg", photo}, {"tip.jpg", photo}}), "tip.jpg", "top.jpg"), "");
  refused(zip_of(tmp.path, {{"layer.json", layer}, {"run.sh", "#!/bin/sh"}}), "another name");
  refused(zip_of(tmp.path, {Entry{"layer.json", layer}, Entry{"job.json", "{}"}}), "another name");
  refused(zip_of(tmp.path, {Entry{"top.jpg", photo}}), "none");
  refused(zip_of(tmp.path, {{"layer.json", layer}, {"top.jpg", photo_bytes(80)}}), "SHA-256");
  refused(zip_of(tmp.path, {{"layer.json", write_layer(layer_with("top.jpg", "<svg onload=x>"))}, {"top.jpg", "<svg onload=x>"}}), "JPEG or PNG");
  refused("", "layer.json");  // libzip takes nothing for an archive with nothing in it
  refused("PK\x03\x04", "ZIP");
  refused(std::string(1000, 'x'), "ZIP");
  std::ofstream(tmp.path / "b.zip", std::ios::binary) << zip_of(tmp.path, {{"layer.json", layer}, {"top.jpg", photo}});
  fs::create_directory(tmp.path / "full");
  std::ofstream(tmp.path / "full/notes.txt") << "mine";
  CHECK_FALSE(unpack_bundle(tmp.path / "b.zip", tmp.path / "full"));
  fs::create_directory_symlink(tmp.path / "full", tmp.path / "link");
  CHECK_FALSE(unpack_bundle(tmp.path / "b.zip", tmp.path / "link"));
  std::ofstream(tmp.path / "file") << "mine";
  CHECK_FALSE(unpack_bundle(tmp.path / "b.zip", tmp.path / "file"));
  CHECK(*read_file(tmp.path / "file") == "mine");
  fs::create_directory(tmp.path / "empty");
  CHECK(unpack_bundle(tmp.path / "b.zip", tmp.path / "empty"));
  std::size_t entries = 0;
  for (const auto& entry : fs::directory_iterator(tmp.path)) entries += entry.path().filename().string().find("unpacking") != std::string::npos;
  CHECK(entries == 0);
}

TEST_CASE("a bundle cut off or changed at any byte is refused or read, never worse") {
  const TemporaryFolder tmp;
  const std::string photo = photo_bytes(16);
  const std::string good = zip_of(tmp.path, {{"layer.json", write_layer(layer_with("top.jpg", photo))}, {"top.jpg", photo}});
  for (std::size_t n = 0; n < good.size(); ++n) CHECK_FALSE(read_bundle(std::string_view(good).substr(0, n), "cut"));
  for (std::size_t n = 0; n < good.size(); ++n) {
    std::string changed = good;
    changed[n] = static_cast<char>(changed[n] ^ 0x41);
    const Result<SharedFiles> files = read_bundle(changed, "changed");
    if (!files) CHECK_FALSE(files.problem().expected.empty());
  }
}

TEST_CASE("what a stranger left in a bundle's photo does not come in") {
  const TemporaryFolder tmp;
  const std::string marked = made::behind_soi(photo_bytes(), made::segment(0xFE, "a stranger's comment"));
  const std::string zip = zip_of(tmp.path, {{"layer.json", write_layer(layer_with("top.jpg", marked))}, {"top.jpg", marked}});
  const Result<SharedFiles> files = read_bundle(zip, "b");
  REQUIRE_MESSAGE(files, to_text(files.problem()));
  CHECK(files->photos.at("top.jpg").find("stranger") == std::string::npos);
  CHECK(read_layer(files->layer_json, "l")->photos[0].sha256 == sha256_hex(files->photos.at("top.jpg")));
}

TEST_CASE("a covered region is gone from what is shared; undo has the photo back; the folder keeps it aside") {
  const CommandBench bench;
  const fs::path dir = bench.tmp.path / "b";
  bench.exits(0, "new board " + dir.string() + " --maker Maker --model Model --revision A --size 100x60");
  made::Folder pictures;
  bench.exits(0, "photo add " + dir.string() + " " + pictures.put("top.jpg", photo_bytes(160)).string() + " --side top");
  const std::string as_taken = *read_file(dir / "top.jpg");
  bench.exits(0, "cover " + dir.string() + " top.jpg --region 16,8,32,16");
  CHECK_FALSE(fs::exists(dir / "top.jpg"));
  CHECK(*read_file(dir / uncovered_folder / "top.jpg") == as_taken);
  const std::string zip = (bench.tmp.path / "out.zip").string();
  bench.exits(0, "export " + dir.string() + " --bundle " + zip);
  const Result<SharedFiles> shared = read_bundle_file(zip);
  REQUIRE(shared);
  REQUIRE(shared->photos.size() == 1);
  CHECK(shared->photos.begin()->first == "top-covered.jpg");
  const Result<Raster> before = decode_memory(made::as_bytes(as_taken), "a"), after = decode_memory(made::as_bytes(shared->photos.begin()->second), "b");
  REQUIRE(before);
  REQUIRE(after);
  std::size_t not_grey = 0, changed = 0;
  for (int y = 0; y < 48; ++y)
    for (int x = 0; x < 160; ++x) {
      const bool inside = x >= 16 && x < 48 && y >= 8 && y < 24;
      for (int channel = 0; channel < 3; ++channel) {
        if (inside) not_grey += std::abs(after->pixel(x, y)[channel] - 48) > 4;
        else changed += before->pixel(x, y)[channel] != after->pixel(x, y)[channel];
      }
    }
  CHECK(not_grey == 0);
  CHECK(changed == 0);  // on the blocks' edges: everything else is bit for bit
  {
    Result<boardlore::Folder> folder = boardlore::Folder::open(dir, make_session("undo"));
    REQUIRE(folder);
    const Photo photo = folder->now().layer->photos.at(0);
    const Result<Photo> twice = cover_photo(*folder, photo.id, {{100, 0, 120, 8}});
    REQUIRE(twice);
    CHECK(twice->file == "top-covered-2.jpg");
    REQUIRE(folder->undo());
    CHECK(folder->now().layer->photos.at(0).file == "top-covered.jpg");
    CHECK(fs::exists(folder->photo_path(folder->now().layer->photos.at(0))));
    REQUIRE(folder->save());
  }
  // The folder itself still has it, and says so.
  bench.exits(1, "privacy " + dir.string());
  bench.refuses("cover " + dir.string() + " top-covered.jpg --region 500,500,10,10", "outside");
  bench.refuses("cover " + dir.string() + " top-covered.jpg --region 1,2,3", "4 numbers");
  bench.refuses("cover " + dir.string() + " top-covered.jpg --region nan,2,3,4", "numbers");
  bench.refuses("cover " + dir.string() + " other.jpg --region 1,2,3,4", "photo");
  bench.exits(0, "new job " + (bench.tmp.path / "j").string() + " --board " + dir.string() + " --reported dead");
  bench.refuses("cover " + (bench.tmp.path / "j").string() + " top-covered.jpg --region 1,2,30,40", "evidence");
}
