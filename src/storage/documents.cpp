#include "storage/documents.h"

#include "editing/mark_rules.h"
#include "judging/package_table.h"
#include "judging/step_lists.h"
#include "storage/file_bytes.h"
#include "storage/read_members.h"
#include "storage/safe_name.h"
#include "storage/write_members.h"

namespace boardlore {
namespace {

using storage::Json;
using storage::Reader;
using storage::Writer;

// Rules that go beyond each member by itself.
void check_marks(const std::string& file, const std::string& list, const std::vector<MarkPtr>& marks, std::vector<Problem>& faults) {
  for (std::size_t i = 0; i < marks.size() && faults.size() < storage::max_faults; ++i)
    if (auto problem = fault_of(*marks[i])) {
      problem->file = file;
      problem->where = list + "/" + std::to_string(i) + " (" + problem->where + ")";
      faults.push_back(*problem);
    }
}

void check_photos(const std::string& file, const std::vector<Photo>& photos, std::vector<Problem>& faults) {
  for (std::size_t i = 0; i < photos.size(); ++i) {
    const std::string where = "/photos/" + std::to_string(i);
    if (!is_safe_relative_path(photos[i].file))
      faults.push_back(Problem{file, where + "/file", "a file name inside the folder", "\"" + photos[i].file + "\""});
    const auto& r = photos[i].registration;
    if (r && !r->board_from_photo.inverse())
      faults.push_back(Problem{file, where + "/registration/board_from_photo", "a map that can be inverted", "a singular one"});
  }
}

void check_layer(const std::string& file, const Layer& layer, std::vector<Problem>& faults) {
  check_marks(file, "/marks", layer.marks.all(), faults);
  check_photos(file, layer.photos, faults);
  for (const auto& [name, side_mm] : {std::pair{"width_mm", layer.board.width_mm}, std::pair{"height_mm", layer.board.height_mm}})
    if (side_mm && !(*side_mm > 0 && *side_mm <= max_board_side_mm))
      faults.push_back(Problem{file, std::string("/board/") + name, "more than 0 and at most 2000", std::to_string(*side_mm)});
}

void check_job(const std::string& file, const storage::JobFile& job, std::vector<Problem>& faults) {
  const auto pointers = [](const std::vector<Mark>& marks) {
    std::vector<MarkPtr> list;
    list.reserve(marks.size());
    for (const Mark& mark : marks) list.push_back(std::make_shared<const Mark>(mark));
    return list;
  };
  check_marks(file, "/marks", pointers(job.changes.marks), faults);
  check_marks(file, "/marks_before", pointers(job.changes.marks_before), faults);
  check_photos(file, job.job.photos, faults);
}

void check_shop(const std::string& file, const Shop& shop, std::vector<Problem>& faults) {
  const auto note = [&](const char* list, std::size_t i, std::optional<Problem> problem) {
    if (!problem || faults.size() >= storage::max_faults) return;
    problem->file = file;
    problem->where = "/" + std::string(list) + "/" + std::to_string(i) + " (" + problem->where + ")";
    faults.push_back(*problem);
  };
  for (std::size_t i = 0; i < shop.packages.size(); ++i) note("packages", i, fault_of_own(shop.packages[i]));
  for (std::size_t i = 0; i < shop.step_lists.size(); ++i) note("step_lists", i, fault_of(shop.step_lists[i]));
}

template <class Value>
Result<Value> read_document(std::string_view text, const std::string& file,
                            void (*check)(const std::string&, const Value&, std::vector<Problem>&),
                            std::vector<Problem>* all = nullptr) {
  Result<Json> json = storage::parse_json(text, file);
  if (!json) {
    if (all != nullptr) all->push_back(json.problem());
    return json.problem();
  }
  Reader reader(file);
  Value value;
  reader.read(*json, value);
  std::vector<Problem> faults = reader.faults();
  if (faults.empty()) check(file, value, faults);
  if (all != nullptr) *all = faults;
  if (!faults.empty()) return faults.front();
  return value;
}

template <class Value>
std::string written(const Value& value) {
  Writer writer;
  writer.write(value);
  return writer.take();
}

}  // namespace

Result<Layer> read_layer(std::string_view text, const std::string& file) {
  Result<Layer> layer = read_document<Layer>(text, file, check_layer);
  // Counts of layers written before counts had ids: the same on every machine, so that they merge as one.
  if (layer)
    for (SymptomCount& counted : layer->symptoms)
      if (counted.id.empty()) counted.id = id_from_hash(sha256_hex(counted.counted_by.text + "\n" + counted.symptom));
  return layer;
}

std::string write_layer(const Layer& layer) { return written(layer) + "\n"; }

Result<JobDocument> read_job(std::string_view text, const std::string& file) {
  Result<storage::JobFile> read = read_document<storage::JobFile>(text, file, check_job);
  if (!read) return read.problem();
  return JobDocument{std::move(read->job), std::move(read->changes.marks), std::move(read->changes.marks_before),
                     std::move(read->changes.removed_marks)};
}

std::string write_job(const JobDocument& document) {
  return written(storage::JobFile{document.job, {document.marks, document.marks_before, document.removed_marks}}) + "\n";
}

Result<Shop> read_shop(std::string_view text, const std::string& file) { return read_document<Shop>(text, file, check_shop); }

std::string write_shop(const Shop& shop) { return written(shop) + "\n"; }

std::vector<Problem> check_document(std::string_view text, const std::string& file) {
  Result<Json> json = storage::parse_json(text, file);
  if (!json) return {json.problem()};
  const auto format = json->is_object() ? json->find("format") : json->end();
  std::vector<Problem> faults;
  if (json->is_object() && format != json->end() && *format == "boardlore-job")
    (void)read_document<storage::JobFile>(text, file, check_job, &faults);
  else if (json->is_object() && format != json->end() && *format == "boardlore-layer")
    (void)read_document<Layer>(text, file, check_layer, &faults);
  else if (json->is_object() && format != json->end() && *format == "boardlore-shop")
    (void)read_document<Shop>(text, file, check_shop, &faults);
  else
    faults.push_back(Problem{file, "/format", "\"boardlore-layer\", \"boardlore-job\" or \"boardlore-shop\"",
                             json->is_object() && format != json->end() ? format->dump() : "none"});
  return faults;
}

std::string write_mark(const Mark& mark) {
  // Deep enough that every member stays on the line.
  const std::vector<std::vector<std::vector<Mark>>> nested{{{mark}}};
  const std::string text = written(nested);
  return text.substr(3, text.size() - 6);
}

Result<Mark> read_mark(std::string_view text, const std::string& file) {
  Result<Json> json = storage::parse_json(text, file);
  if (!json) return json.problem();
  Reader reader(file);
  Mark mark;
  reader.read(*json, mark);
  if (!reader.faults().empty()) return reader.faults().front();
  if (auto problem = fault_of(mark)) return *problem;
  return mark;
}

}  // namespace boardlore
