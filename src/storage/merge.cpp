#include "storage/merge.h"

#include <algorithm>
#include <set>

#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/json_text.h"

namespace boardlore {
namespace {

using storage::Json;

// What both sides changed differently, with the place inside what is merged.
struct Clash {
  std::string member;
  std::string one, other;  // JSON text; empty: removed
};

bool is_list_by_id(const Json& json) {
  return json.is_array() && !json.empty() &&
         std::all_of(json.begin(), json.end(), [](const Json& item) { return item.is_object() && item.contains("id"); });
}

std::string escaped(std::string_view name) {
  std::string text;
  for (const char c : name) text += c == '~' ? "~0" : c == '/' ? "~1" : std::string(1, c);
  return text;
}

// Absent values are null (no member of ours is ever null).
Json merge_values(const Json& base, const Json& ours, const Json& theirs, const std::string& where, std::vector<Clash>& clashes);

Json merge_objects(const Json& base, const Json& ours, const Json& theirs, const std::string& where, std::vector<Clash>& clashes) {
  std::set<std::string> names;
  for (const Json* side : {&base, &ours, &theirs})
    if (side->is_object())
      for (const auto& [name, value] : side->items()) names.insert(name);
  const auto member = [](const Json& object, const std::string& name) {
    return object.is_object() && object.contains(name) ? object.at(name) : Json{};
  };
  Json merged = Json::object();
  for (const std::string& name : names) {
    // A registration is one thing: half of one and half of another would fit nothing.
    const std::string place = where + "/" + escaped(name);
    Json value = merge_values(member(base, name), member(ours, name), member(theirs, name), place, clashes);
    if (!value.is_null()) merged[name] = std::move(value);
  }
  return merged;
}

Json merge_lists(const Json& base, const Json& ours, const Json& theirs, const std::string& where, std::vector<Clash>& clashes) {
  std::set<std::string> ids;
  for (const Json* side : {&base, &ours, &theirs})
    for (const Json& item : *side) ids.insert(item.at("id").is_string() ? item.at("id").get<std::string>() : item.at("id").dump());
  const auto item = [](const Json& list, const std::string& id) {
    for (const Json& one : list)
      if (one.at("id") == id) return one;
    return Json{};
  };
  Json merged = Json::array();  // ids rise with time, so this is also the order of making
  for (const std::string& id : ids) {
    Json value = merge_values(item(base, id), item(ours, id), item(theirs, id), where + "/" + id, clashes);
    if (!value.is_null()) merged.push_back(std::move(value));
  }
  return merged.empty() ? Json{} : merged;
}

Json merge_values(const Json& base, const Json& ours, const Json& theirs, const std::string& where, std::vector<Clash>& clashes) {
  if (ours == theirs || theirs == base) return ours;
  if (ours == base) return theirs;
  const bool whole = where.ends_with("/registration");
  const bool base_object = base.is_object() || base.is_null();
  if (!whole && base_object && ours.is_object() && theirs.is_object()) return merge_objects(base, ours, theirs, where, clashes);
  const auto listed = [](const Json& json) { return json.is_null() || is_list_by_id(json); };
  if (listed(base) && listed(ours) && listed(theirs)) return merge_lists(base, ours, theirs, where, clashes);
  const auto text = [](const Json& json) { return json.is_null() ? std::string{} : json.dump(); };
  std::string one = text(ours), other = text(theirs);
  if (other < one) std::swap(one, other);
  clashes.push_back(Clash{where, one, other});
  // Until somebody chooses, an edit wins over a removal, and else the first in order: the same for both sides.
  return text(ours) == (one.empty() ? other : one) ? ours : theirs;
}

Json json_of(const Layer& layer) {
  Layer head = layer;
  head.marks = MarkTable{};
  return Json::parse(write_layer(head));
}
Json json_of(const Job& job) { return Json::parse(write_job(JobDocument{job, {}, {}, {}})); }
Json json_of(const MarkPtr& mark) { return mark ? Json::parse(write_mark(*mark)) : Json{}; }

// The id follows from what is disputed, so that both sides make the same one.
Id dispute_id(const Id& mark, const Clash& clash) {
  const std::string hash = sha256_hex(mark.text + "\n" + clash.member + "\n" + clash.one + "\n" + clash.other);
  return Id{hash.substr(0, 8) + "-" + hash.substr(8, 4) + "-8" + hash.substr(13, 3) + "-8" + hash.substr(17, 3) + "-" + hash.substr(20, 12)};
}

void keep(std::vector<Dispute>& disputes, std::size_t& added, const Id& mark, const std::vector<Clash>& clashes) {
  for (const Clash& clash : clashes) {
    const Id id = dispute_id(mark, clash);
    if (std::any_of(disputes.begin(), disputes.end(), [&](const Dispute& d) { return d.id == id; })) continue;
    disputes.push_back(Dispute{id, mark, clash.member, clash.one, clash.other, {}});
    ++added;
  }
}

Result<Layer> merge_counted(const Layer& base, const Layer& ours, const Layer& theirs, std::size_t& disputes) {
  std::vector<Clash> clashes;
  const Json head = merge_values(json_of(base), json_of(ours), json_of(theirs), "", clashes);
  Result<Layer> merged = read_layer(head.dump(), "merged layer");
  if (!merged) return merged.problem();
  keep(merged->disputes, disputes, Id{}, clashes);

  MarkTable marks = ours.marks;
  std::optional<Problem> problem;
  MarkTable::differences(base.marks, theirs.marks, [&](const MarkPtr& before, const MarkPtr& their_mark) {
    if (problem || (before && their_mark && *before == *their_mark)) return;
    const Id id = before ? before->id : their_mark->id;
    const MarkPtr our_mark = ours.marks.find(id);
    clashes.clear();
    const Json value = merge_values(json_of(before), json_of(our_mark), json_of(their_mark), "", clashes);
    if (value.is_null()) {
      marks = marks.without(id);
    } else if (Result<Mark> mark = read_mark(value.dump(), "merged mark")) {
      marks = marks.with(std::make_shared<const Mark>(*std::move(mark)));
    } else {
      problem = mark.problem();
    }
    keep(merged->disputes, disputes, id, clashes);
  });
  if (problem) return *problem;
  merged->marks = std::move(marks);
  std::sort(merged->disputes.begin(), merged->disputes.end(), [](const Dispute& a, const Dispute& b) { return a.id < b.id; });
  return merged;
}

}  // namespace

Result<Layer> merge_layers(const Layer& base, const Layer& ours, const Layer& theirs) {
  std::size_t ignored = 0;
  return merge_counted(base, ours, theirs, ignored);
}

Result<Merged> merge_snapshots(const Snapshot& base, const Snapshot& ours, const Snapshot& theirs) {
  Merged merged;
  Result<Layer> layer = merge_counted(*base.layer, *ours.layer, *theirs.layer, merged.disputes);
  if (!layer) return layer.problem();
  merged.snapshot.layer = std::make_shared<const Layer>(*std::move(layer));
  if (!base.job || !ours.job || !theirs.job) return merged;
  std::vector<Clash> clashes;
  const Json value = merge_values(json_of(*base.job), json_of(*ours.job), json_of(*theirs.job), "", clashes);
  Result<JobDocument> job = read_job(value.dump(), "merged job");
  if (!job) return job.problem();
  // A job has no list of disputes: the value not taken is kept as a note on it.
  for (const Clash& clash : clashes)
    job->job.notes.push_back(Note{dispute_id(Id{}, clash), "Two people changed " + clash.member + ": " + clash.one + " | " + clash.other,
                                  "", std::nullopt, "", job->job.opened_at, true, {}});
  merged.disputes += clashes.size();
  merged.snapshot.job = std::make_shared<const Job>(std::move(job->job));
  return merged;
}

}  // namespace boardlore
