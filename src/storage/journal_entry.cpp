// What one journal line says: the difference between two snapshots.
#include "storage/documents.h"
#include "storage/journal.h"
#include "storage/json_text.h"

namespace boardlore {
namespace {

using storage::Json;

Json parsed(const std::string& text) { return Json::parse(text); }

// The layer without its marks, as JSON.
Json head_of(const Layer& layer) {
  Layer head = layer;
  head.marks = MarkTable{};
  return parsed(write_layer(head));
}

Json job_of(const Job& job) { return parsed(write_job(JobDocument{job, {}, {}, {}})); }

}  // namespace

std::string journal_entry(const Snapshot& before, const Snapshot& after, std::string_view name, std::string_view based_on) {
  Json entry = Json::object();
  entry["base"] = based_on;
  entry["name"] = name;
  if (before.layer != after.layer) {
    Json marks = Json::array(), removed = Json::array();
    MarkTable::differences(before.layer->marks, after.layer->marks, [&](const MarkPtr& old, const MarkPtr& now) {
      if (now) marks.push_back(parsed(write_mark(*now)));
      else removed.push_back(old->id.text);
    });
    if (!marks.empty()) entry["marks"] = std::move(marks);
    if (!removed.empty()) entry["removed"] = std::move(removed);
    Json patch = Json::diff(head_of(*before.layer), head_of(*after.layer));
    if (!patch.empty()) entry["layer"] = std::move(patch);
  }
  if (before.job != after.job && before.job && after.job) {
    Json patch = Json::diff(job_of(*before.job), job_of(*after.job));
    if (!patch.empty()) entry["job"] = std::move(patch);
  }
  return entry.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Result<Snapshot> apply_journal_entry(const Snapshot& before, std::string_view text) {
  Result<Json> entry = storage::parse_json(text, "journal");
  if (!entry) return entry.problem();
  const auto wrong = [](const char* expected) { return Problem{"journal", "", expected, "something else"}; };
  if (!entry->is_object()) return wrong("an object");
  Layer layer = *before.layer;
  std::shared_ptr<const Job> job = before.job;
  try {
    if (const auto patch = entry->find("layer"); patch != entry->end()) {
      Result<Layer> head = read_layer(head_of(layer).patch(*patch).dump(), "journal");
      if (!head) return head.problem();
      head->marks = layer.marks;
      layer = *std::move(head);
    }
    if (const auto marks = entry->find("marks"); marks != entry->end()) {
      for (const Json& json : *marks) {
        Result<Mark> mark = read_mark(json.dump(), "journal");
        if (!mark) return mark.problem();
        layer.marks = layer.marks.with(std::make_shared<const Mark>(*std::move(mark)));
      }
    }
    if (const auto removed = entry->find("removed"); removed != entry->end()) {
      for (const Json& id : *removed) {
        const auto parsed_id = id.is_string() ? parse_id(id.get_ref<const std::string&>()) : std::nullopt;
        if (!parsed_id) return wrong("ids of removed marks");
        layer.marks = layer.marks.without(*parsed_id);
      }
    }
    if (const auto patch = entry->find("job"); patch != entry->end()) {
      if (!job) return wrong("a job for a change to a job");
      Result<JobDocument> changed = read_job(job_of(*job).patch(*patch).dump(), "journal");
      if (!changed) return changed.problem();
      job = std::make_shared<const Job>(std::move(changed->job));
    }
  } catch (const nlohmann::json::exception& error) {
    return Problem{"journal", "", "a change that fits the document", error.what()};
  }
  return Snapshot{std::make_shared<const Layer>(std::move(layer)), job};
}

}  // namespace boardlore
