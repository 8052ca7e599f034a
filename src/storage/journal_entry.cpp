// What one journal line says: the difference between two snapshots, each changed thing as it was and as it
// is, so that a line can be laid over a document that others changed meanwhile: taken back, it gives the
// common ancestor of a merge.
#include <algorithm>

#include "storage/documents.h"
#include "storage/journal.h"
#include "storage/json_text.h"
#include "storage/write_members.h"

namespace boardlore {
namespace {

using storage::Json;
using storage::Writer;

template <class Value>
Json json_of(const Value& value) {
  Writer writer;
  writer.write(value);
  return Json::parse(writer.take());
}

// Where each member of one object lives, by name.
struct Places {
  std::map<std::string_view, const void*> at;
  template <class Field>
  void operator()(std::string_view name, const Field& field) {
    at[name] = &field;
  }
  template <class Field>
  void required(std::string_view name, const Field& field) {
    at[name] = &field;
  }
  void unit(const Quantity&) {}
  void header(std::string_view, const int&) {}
};

template <class Field>
concept ListById = requires(const Field& list) {
  list.begin()->id.text;
  list.size();
} && !std::same_as<Field, MarkTable>;

// Lists every member that is not the same, lists of things with ids thing by thing.
struct Differences {
  const Places& before;
  Json& list;

  template <class Field>
  void operator()(std::string_view name, const Field& now) {
    const Field& old = old_of(name, now);
    if (old == now) return;
    const auto written = [](const Field& field) { return field == Field{} ? Json{} : json_of(field); };
    if constexpr (std::same_as<Field, MarkTable>) return;
    else if constexpr (ListById<Field>) by_id(name, old, now);
    else add(name, written(old), written(now));
  }
  template <class Field>
  void required(std::string_view name, const Field& now) {
    const Field& old = old_of(name, now);
    if (old != now) add(name, json_of(old), json_of(now));
  }
  void unit(const Quantity&) {}
  void header(std::string_view, const int&) {}
  void unknown(const Unknown& old, const Unknown& now) {
    const auto value = [](const Unknown& members, const std::string& name) {
      const auto there = members.find(name);
      return there == members.end() ? Json{} : Json::parse(there->second);
    };
    for (const Unknown* side : {&old, &now})
      for (const auto& [name, text] : *side)
        if (value(old, name) != value(now, name) && (side == &now || !now.contains(name))) add(name, value(old, name), value(now, name));
  }

 private:
  template <class Field>
  const Field& old_of(std::string_view name, const Field&) const {
    return *static_cast<const Field*>(before.at.at(name));
  }
  void add(std::string_view name, Json from, Json to) {
    Json change = Json::object();
    change["at"] = name;
    change["from"] = std::move(from);
    change["to"] = std::move(to);
    list.push_back(std::move(change));
  }
  template <class Items>
  void by_id(std::string_view name, const Items& old, const Items& now) {
    const auto find = [](const Items& items, const Id& id) {
      return std::find_if(items.begin(), items.end(), [&](const auto& item) { return item.id == id; });
    };
    // Put one after the other the changes must give `now` in its order, else the list goes in whole.
    std::vector<Id> order;
    for (const auto& item : old)
      if (find(now, item.id) != now.end()) order.push_back(item.id);
    for (const auto& item : now)
      if (find(old, item.id) == old.end()) order.push_back(item.id);
    const bool in_order = std::equal(order.begin(), order.end(), now.begin(), now.end(),
                                     [](const Id& id, const auto& item) { return id == item.id; });
    if (!in_order) return add(name, old.empty() ? Json{} : json_of(old), now.empty() ? Json{} : json_of(now));
    const auto add_item = [&](const Id& id, Json from, Json to) {
      add(name, std::move(from), std::move(to));
      list.back()["id"] = id.text;
    };
    for (const auto& item : old)
      if (const auto there = find(now, item.id); there == now.end()) add_item(item.id, json_of(item), Json{});
      else if (*there != item) add_item(item.id, json_of(item), json_of(*there));
    for (const auto& item : now)
      if (find(old, item.id) == old.end()) add_item(item.id, Json{}, json_of(item));
  }
};

template <class Object>
Json differences(const Object& before, const Object& after, const Unknown& unknown_before, const Unknown& unknown_after) {
  Json list = Json::array();
  Places places;
  storage::describe(places, before);
  Differences visitor{places, list};
  storage::describe(visitor, after);
  visitor.unknown(unknown_before, unknown_after);
  return list;
}

Problem misfit(const std::string& found) { return Problem{"journal", "", "a change that fits the document", found}; }

// Puts one change into the document, or takes it back. Doing it twice is the same as doing it once.
Result<Done> put(Json& document, const Json& change, bool forward) {
  const std::string& name = change.at("at").get_ref<const std::string&>();
  const Json value = change.value(forward ? "to" : "from", Json{});
  if (!change.contains("id")) {
    if (value.is_null()) document.erase(name);
    else document[name] = value;
    return Done{};
  }
  if (!value.is_null() && (!value.is_object() || value.value("id", Json{}) != change.at("id")))
    return misfit("a thing under another id than its own");
  Json& items = document[name];
  if (!items.is_array()) items = Json::array();
  const auto there = std::find_if(items.begin(), items.end(),
                                  [&](const Json& item) { return item.is_object() && item.value("id", Json{}) == change.at("id"); });
  if (there == items.end() && !value.is_null()) items.push_back(value);
  else if (there != items.end() && value.is_null()) items.erase(there);
  else if (there != items.end()) *there = value;
  if (items.empty()) document.erase(name);
  return Done{};
}

Result<Done> put_marks(MarkTable& marks, const Json& pairs, bool forward) {
  for (const Json& pair : pairs) {
    const Json& value = pair.at(forward ? 1 : 0);
    const Json& other = pair.at(forward ? 0 : 1);
    if (value.is_null()) {
      const auto id = parse_id(other.at("id").get_ref<const std::string&>());
      if (!id) return misfit("a mark without an id");
      marks = marks.without(*id);
      continue;
    }
    Result<Mark> mark = read_mark(value.dump(), "journal");
    if (!mark) return mark.problem();
    marks = marks.with(std::make_shared<const Mark>(*std::move(mark)));
  }
  return Done{};
}

}  // namespace

std::string journal_entry(const Snapshot& before, const Snapshot& after, std::string_view name, std::string_view based_on) {
  Json entry = Json::object();
  entry["base"] = based_on;
  entry["name"] = name;
  if (before.layer != after.layer) {
    Json marks = Json::array();
    const auto written = [](const MarkPtr& mark) { return mark ? json_of(*mark) : Json{}; };
    MarkTable::differences(before.layer->marks, after.layer->marks, [&](const MarkPtr& old, const MarkPtr& now) {
      marks.push_back(Json::array({written(old), written(now)}));
    });
    if (!marks.empty()) entry["marks"] = std::move(marks);
    Json layer = differences(*before.layer, *after.layer, before.layer->unknown, after.layer->unknown);
    if (!layer.empty()) entry["layer"] = std::move(layer);
  }
  if (before.job != after.job && before.job && after.job) {
    const storage::JobFile old{*before.job, {}}, now{*after.job, {}};
    Json job = differences(old, now, before.job->unknown, after.job->unknown);
    if (!job.empty()) entry["job"] = std::move(job);
  }
  return entry.dump(-1, ' ', false, Json::error_handler_t::replace);
}

Result<Snapshot> apply_journal_entries(const Snapshot& start, const std::vector<std::string_view>& entries, JournalWay way) {
  const bool forward = way == JournalWay::forward;
  Json head, job;  // null: not touched so far
  MarkTable marks = start.layer->marks;
  bool marks_touched = false;
  try {
    for (std::size_t i = 0; i < entries.size(); ++i) {
      Result<Json> entry = storage::parse_json(entries[forward ? i : entries.size() - 1 - i], "journal");
      if (!entry) return entry.problem();
      if (!entry->is_object()) return misfit("no object");
      if (const auto pairs = entry->find("marks"); pairs != entry->end()) {
        marks_touched = true;
        if (Result<Done> done = put_marks(marks, *pairs, forward); !done) return done.problem();
      }
      const auto put_all = [&](Json& document, const char* member, const auto& whole) -> Result<Done> {
        const auto changes = entry->find(member);
        if (changes == entry->end()) return Done{};
        if (document.is_null()) document = Json::parse(whole());
        for (std::size_t k = 0; k < changes->size(); ++k)
          if (Result<Done> done = put(document, changes->at(forward ? k : changes->size() - 1 - k), forward); !done) return done;
        return Done{};
      };
      const Result<Done> layer_done = put_all(head, "layer", [&] {
        Layer bare = *start.layer;
        bare.marks = MarkTable{};
        return write_layer(bare);
      });
      if (!layer_done) return layer_done.problem();
      if (entry->contains("job") && !start.job) return misfit("a change to a job where none is open");
      const Result<Done> job_done = put_all(job, "job", [&] { return write_job(JobDocument{*start.job, {}, {}, {}}); });
      if (!job_done) return job_done.problem();
    }
  } catch (const nlohmann::json::exception& error) {
    return misfit(error.what());
  }
  Snapshot now = start;
  if (!head.is_null() || marks_touched) {
    Layer layer = *start.layer;
    if (!head.is_null()) {
      Result<Layer> read = read_layer(head.dump(), "journal");
      if (!read) return read.problem();
      layer = *std::move(read);
    }
    layer.marks = std::move(marks);
    now.layer = std::make_shared<const Layer>(std::move(layer));
  }
  if (!job.is_null()) {
    Result<JobDocument> read = read_job(job.dump(), "journal");
    if (!read) return read.problem();
    now.job = std::make_shared<const Job>(std::move(read->job));
  }
  return now;
}

Result<Snapshot> apply_journal_entry(const Snapshot& before, std::string_view entry) {
  return apply_journal_entries(before, {entry}, JournalWay::forward);
}

}  // namespace boardlore
