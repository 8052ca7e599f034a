// Documents from a stranger, one named way of doing harm a test: each is refused with its place, or read and harmless.
// Limits are the constants of storage/json_text.h. Source of the attacks: common practice (zip slip and bombs are in
// bundle_test.cpp, pictures in pictures_hostile_test.cpp).
#include <doctest/doctest.h>

#include <chrono>
#include <filesystem>
#include <fstream>

#include "storage/documents.h"
#include "storage/json_text.h"
#include "storage/file_bytes.h"
#include "storage/points_file.h"
#include "support/command_bench.h"
#include "support/small_layer.h"

using namespace boardlore;

namespace {

// Tried as a layer, as a job and as points: refused by each, with the place and in no time.
void refused(const std::string& text, const std::string& where) {
  const auto start = std::chrono::steady_clock::now();
  const Result<Layer> layer = read_layer(text, "l.json");
  REQUIRE_FALSE(layer);
  CHECK(layer.problem().where.find(where) != std::string::npos);
  CHECK_FALSE(layer.problem().expected.empty());
  CHECK(to_text(layer.problem()).size() < 2000);  // an error does not shout the file back
  CHECK_FALSE(read_job(text, "j.json"));
  CHECK_FALSE(read_points(text, "p.json"));
  CHECK(std::chrono::steady_clock::now() - start < std::chrono::seconds(20));
}

std::string layer_with(const std::string& members) {
  std::string text = write_layer(small_layer());
  return text.insert(text.find("\"marks\""), members + ",\n ");
}

std::string with_at(const std::string& place) {
  std::string text = write_layer(small_layer());
  const std::size_t at = text.find("\"at_mm\":");
  const std::size_t start = text.find('[', at), end = text.find(']', start);
  return text.replace(start, end - start + 1, place);
}

}  // namespace

TEST_CASE("deep nesting is refused at the limit, not at the end of the stack") {
  const auto nested = [](int levels) { return layer_with("\"later\": " + std::string(static_cast<std::size_t>(levels), '[') + std::string(static_cast<std::size_t>(levels), ']')); };
  CHECK(read_layer(nested(storage::max_depth - 1), "l"));
  refused(nested(storage::max_depth), "/later");
  refused(std::string(1'000'000, '['), "/0");
  std::string objects;
  for (int i = 0; i < 100'000; ++i) objects += "{\"a\":";
  refused(objects, "/a");
}

TEST_CASE("huge numbers are refused or harmless") {
  refused(with_at("[1e999, 1]"), "byte");
  refused(with_at("[-1e999, 1]"), "byte");
  refused(with_at("[1" + std::string(400, '0') + ", 1]"), "");
  for (const char* place : {"[1e308, -1e308]", "[1e-320, 5e-324]", "[123456789012345678901234567890, 0]"}) {
    CAPTURE(place);
    const Result<Layer> layer = read_layer(with_at(place), "l");
    if (layer) CHECK(read_layer(write_layer(*layer), "again"));
    else CHECK_FALSE(layer.problem().where.empty());
  }
  CHECK_FALSE(read_layer(layer_with("\"version\": \"99999999999999999999.0\""), "l"));
}

TEST_CASE("NaN and infinity are no numbers here") {
  for (const char* place : {"[NaN, 1]", "[Infinity, 1]", "[-Infinity, 1]", "[nan, 1]", "[null, 1]", "[\"NaN\", 1]"}) {
    CAPTURE(place);
    const Result<Layer> layer = read_layer(with_at(place), "l.json");
    REQUIRE_FALSE(layer);
    CHECK_FALSE(layer.problem().where.empty());
  }
}

TEST_CASE("invalid UTF-8 is refused, in a value and in a member's name") {
  // Source: RFC 3629 section 3 (overlong forms, surrogates, beyond U+10FFFF), section 4 (syntax).
  for (const char* bytes : {"\xff", "\xc0\xaf", "\xe0\x80\xaf", "\xed\xa0\x80", "\xf4\x90\x80\x80", "\xc3", "\xf0\x9f\x98", "\x80"}) {
    refused(layer_with("\"later\": \"" + std::string(bytes) + "\""), "byte");
    refused(layer_with("\"la" + std::string(bytes) + "ter\": 1"), "byte");
  }
  refused(layer_with("\"later\": \"\\ud800\""), "byte");  // half a surrogate pair, escaped
}

TEST_CASE("duplicate keys are refused: two readers would see two documents") {
  refused(layer_with("\"later\": 1, \"later\": 2"), "/later");
  refused(layer_with("\"board\": {\"model\": \"Other\"}"), "/board");
  refused(layer_with("\"later\": {\"a\": {\"b\": 1, \"b\": 1}}"), "/later/a/b");
}

TEST_CASE("very long strings and names are refused at the limit") {
  CHECK(read_layer(layer_with("\"later\": \"" + std::string(storage::max_string_bytes, 'x') + "\""), "l"));
  refused(layer_with("\"later\": \"" + std::string(storage::max_string_bytes + 1, 'x') + "\""), "/later");
  refused(layer_with("\"" + std::string(storage::max_string_bytes + 1, 'n') + "\": 1"), "");
}

TEST_CASE("too many members and elements are refused at the limit") {
  std::string members = "\"later\": {";
  for (std::size_t i = 0; i <= storage::max_members; ++i) members += (i == 0 ? "\"" : ",\"") + std::to_string(i) + "\":0";
  refused(layer_with(members + "}"), "/later");
  std::string zeros;
  for (std::size_t i = 0; i <= storage::max_elements; ++i) zeros += "0,";
  zeros.pop_back();
  CHECK_FALSE(read_layer(layer_with("\"later\": [" + zeros + "]"), "l"));
}

TEST_CASE("terminal codes in names are made visible and run nothing") {
  const CommandBench bench;
  const std::string dir = (bench.tmp.path / "b").string();
  bench.exits(0, "new board " + dir + " --maker Maker --model Model --revision A --size 100x60");
  std::string text = *read_file(std::filesystem::path(dir) / "layer.json");
  // Clear the screen, set the title, a C1 control: ECMA-48 and xterm's control sequences.
  const std::string codes = "\\u001b[2J\\u001b]0;owned\\u0007\\u009b31m\\r";
  text.replace(text.find("Model"), 5, "Mo" + codes + "del");
  std::ofstream(std::filesystem::path(dir) / "layer.json") << text;
  for (const std::string& command : {"marks " + dir, "check " + dir, "history " + dir, "privacy " + dir, "export " + dir + " -o " + dir + "/out/layer.json",
                                     "new job " + (bench.tmp.path / "j").string() + " --board " + dir + " --reported dead", "diff --text " + dir + "/layer.json"}) {
    CAPTURE(command);
    const RunResult result = bench.run(command);
    CHECK(result.output.find('\x1b') == std::string::npos);
    CHECK(result.output.find("\xc2\x9b") == std::string::npos);
    CHECK(result.output.find('\x07') == std::string::npos);
  }
}

TEST_CASE("markup in texts comes out of the record as text") {
  const CommandBench bench;
  const std::string dir = (bench.tmp.path / "b").string(), job = (bench.tmp.path / "j").string();
  const std::string evil = "<script>alert(1)</script><img src=x onerror=alert(2)>&\"";
  bench.exits(0, "new board " + dir + " --maker " + shell_quoted(evil) + " --model Model --revision A --size 100x60");
  bench.exits(0, "new job " + job + " --board " + dir + " --reported " + shell_quoted(evil) + " --owner " + shell_quoted(evil));
  bench.exits(0, "mark add " + job + " --kind note --side top --at 10,20 --text " + shell_quoted(evil));
  const std::string out = (bench.tmp.path / "record.html").string();
  bench.run("record " + job + " -o " + out + " --for shop");
  const Result<std::string> html = read_file(out);
  REQUIRE(html);
  CHECK(html->find("<script>alert") == std::string::npos);
  CHECK(html->find("<img src=x") == std::string::npos);
  CHECK(html->find("&lt;script&gt;") != std::string::npos);
}
