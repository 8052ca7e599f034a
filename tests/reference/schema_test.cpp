// The published schemas against an independent validator: python3-jsonschema (Debian), JSON Schema 2020-12.
#include <doctest/doctest.h>

#include <fstream>
#include <set>

#include "storage/describe.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/json_text.h"
#include "support/places.h"
#include "support/run_program.h"
#include "support/temporary_folder.h"

using namespace boardlore;

namespace {

const std::string source_dir = places::source_dir().string();

bool have_validator() { return run_shell("/usr/bin/python3 -c 'import jsonschema' 2>/dev/null").exit_code == 0; }

RunResult validate(const std::string& schema, const std::string& document) {
  return run_shell("/usr/bin/python3 -c 'import json,sys,jsonschema\n"
                   "s=json.load(open(sys.argv[1])); jsonschema.Draft202012Validator.check_schema(s)\n"
                   "jsonschema.Draft202012Validator(s).validate(json.load(open(sys.argv[2])))' " +
                   shell_quoted(source_dir + "/assets/" + schema) + " " + shell_quoted(document) + " 2>&1");
}

// Collects the members that the program reads and writes.
struct Names {
  std::set<std::string> names;
  template <class T>
  void operator()(const char* name, T&) {
    names.insert(name);
  }
  template <class T>
  void required(const char* name, T&) {
    names.insert(name);
  }
  void unit(const Quantity&) { names.insert("unit"); }
  void header(const char*, int&) { names.insert({"format", "version"}); }
};

template <class T>
std::set<std::string> members_of() {
  Names names;
  T value{};
  storage::describe(names, value);
  return names.names;
}

std::set<std::string> properties(const storage::Json& schema) {
  std::set<std::string> names;
  for (const auto& [name, value] : schema.at("properties").items()) names.insert(name);
  return names;
}

}  // namespace

TEST_CASE("the schemas list exactly the members that the program reads and writes") {
  const auto load = [](const char* name) { return storage::Json::parse(*read_file(source_dir + "/assets/" + name)); };
  const storage::Json layer = load("layer.schema.json"), job = load("job.schema.json");
  CHECK(properties(layer) == members_of<Layer>());
  CHECK(properties(job) == members_of<storage::JobFile>());
  for (const storage::Json* schema : {&layer, &job}) {
    CHECK(properties(schema->at("$defs").at("mark")) == members_of<Mark>());
    CHECK(properties(schema->at("$defs").at("photo")) == members_of<Photo>());
    CHECK(properties(schema->at("$defs").at("registration")) == members_of<Registration>());
    CHECK(properties(schema->at("$defs").at("package")) == members_of<Package>());
    CHECK(properties(schema->at("$defs").at("limit")) == members_of<Limit>());
    CHECK(properties(schema->at("$defs").at("sample")) == members_of<Sample>());
    CHECK(properties(schema->at("$defs").at("note")) == members_of<Note>());
  }
  CHECK(properties(job.at("properties").at("readings").at("items")) == members_of<Reading>());
  CHECK(properties(job.at("properties").at("actions").at("items")) == members_of<Action>());
  const storage::Json shop = load("shop.schema.json");
  CHECK(properties(shop) == members_of<Shop>());
  CHECK(properties(shop.at("$defs").at("package")) == members_of<Package>());
  CHECK(properties(shop.at("$defs").at("step_list")) == members_of<StepList>());
}

TEST_CASE("the demo layer is valid by the schema, by the program, and is canonical") {
  const std::string file = source_dir + "/boards/brackenwick-gc12/layer.json";
  const std::string text = *read_file(file);
  CHECK(check_document(text, file).empty());
  const Result<Layer> layer = read_layer(text, file);
  REQUIRE(layer);
  CHECK(write_layer(*layer) == text);
  if (!have_validator()) {
    MESSAGE("skipped: python3-jsonschema is not installed");
    return;
  }
  const RunResult valid = validate("layer.schema.json", file);
  CHECK_MESSAGE(valid.exit_code == 0, valid.output);
}

TEST_CASE("a shop file as the program writes it is valid by the schema") {
  if (!have_validator()) {
    MESSAGE("skipped: python3-jsonschema is not installed");
    return;
  }
  const TemporaryFolder tmp;
  const std::string file = (tmp.path / "shop.json").string();
  Shop shop;
  Package own;
  own.family = PackageFamily::dual_row;
  own.name = "Tallow 8", own.pins = 8, own.pitch_mm = 1.27, own.span_mm = 5.4;
  shop.packages = {own};
  shop.step_lists = {{"flat-cable", "flat cable", {"tape", "unlatch"}, {}}};
  std::ofstream(file) << write_shop(shop);
  const RunResult valid = validate("shop.schema.json", file);
  CHECK_MESSAGE(valid.exit_code == 0, valid.output);
  shop.step_lists[0].steps.clear();
  std::ofstream(file) << write_shop(shop);
  CHECK(validate("shop.schema.json", file).exit_code != 0);
}

TEST_CASE("the validator refuses what the schema forbids") {
  if (!have_validator()) {
    MESSAGE("skipped: python3-jsonschema is not installed");
    return;
  }
  const TemporaryFolder tmp;
  const std::string file = (tmp.path / "layer.json").string();
  std::string text = *read_file(source_dir + "/boards/brackenwick-gc12/layer.json");
  text.replace(text.find("\"kind\": \"part\""), 14, "\"kind\": \"pert\"");
  std::ofstream(file) << text;
  CHECK(validate("layer.schema.json", file).exit_code != 0);
  CHECK_FALSE(check_document(text, file).empty());
}
