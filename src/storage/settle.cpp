#include "storage/settle.h"

#include <algorithm>

#include "editing/mark_rules.h"
#include "storage/documents.h"
#include "storage/json_merge.h"
#include "storage/merge.h"

namespace boardlore {
namespace {

using storage::Clash;
using storage::Json;

Id id_in(const std::string& json_text) {
  return json_text.size() > 2 ? Id{json_text.substr(1, json_text.size() - 2)} : Id{};
}

template <class List>
void drop(List& disputes, const Id& id) {
  std::erase_if(disputes, [&](const Dispute& d) { return d.id == id; });
}

Problem gone(const std::string& what) { return Problem{"", "dispute", what, "it is no longer there", Outcome::finding}; }

Result<std::vector<Edit>> mark_edits(const Snapshot& now, const Dispute& dispute, const std::string& text) {
  const MarkPtr mark = now.layer->marks.find(dispute.mark);
  if (dispute.member.empty() && text.empty()) {
    if (!mark) return std::vector<Edit>{};
    return std::vector<Edit>{RemoveMark{dispute.mark}};
  }
  if (!mark && !dispute.member.empty()) return gone("the mark it is about");
  Json json = mark ? Json::parse(write_mark(*mark)) : Json{};
  if (!storage::put_member(json, dispute.member, text)) return gone("the place it is about");
  Result<Mark> changed = read_mark(json.dump(), "settled mark");
  if (!changed) return changed.problem();
  if (!mark) return std::vector<Edit>{PlaceMark{*std::move(changed)}};
  return std::vector<Edit>{ChangeMark{*std::move(changed), "settle " + spoken_name(*mark)}};
}

// `kept` with what only `other` knew.
Result<std::vector<Edit>> joining_edits(const Snapshot& now, const Id& kept_id, const Id& other_id) {
  const MarkPtr kept = now.layer->marks.find(kept_id), other = now.layer->marks.find(other_id);
  if (!kept || !other) return gone("both marks");
  const Json kept_json = Json::parse(write_mark(*kept));
  std::vector<Clash> clashes;
  Json joined = storage::merge_values(Json{}, kept_json, Json::parse(write_mark(*other)), "", clashes);
  for (const Clash& clash : clashes) {
    // Of the two values, the one that changes nothing in `kept` is its own.
    Json tried = kept_json;
    const bool one_is_kept = storage::put_member(tried, clash.member, clash.one) && tried == kept_json;
    if (!storage::put_member(joined, clash.member, one_is_kept ? clash.one : clash.other)) return gone("the place " + clash.member);
  }
  Result<Mark> mark = read_mark(joined.dump(), "joined mark");
  if (!mark) return mark.problem();
  return std::vector<Edit>{RemoveMark{other_id}, ChangeMark{*std::move(mark), "join " + spoken_name(*kept)}};
}

std::string spoken_value(const std::string& json_text) {
  if (json_text.empty()) return "taken out";
  const Json json = Json::parse(json_text, nullptr, false);
  if (json.is_string()) return json.get<std::string>();
  if (json.is_array() && json.size() == 2 && json[0].is_number() && json[1].is_number()) return json[0].dump() + ", " + json[1].dump();
  return json_text.size() <= 60 ? json_text : "changed (" + std::to_string(json_text.size()) + " characters)";
}

}  // namespace

const std::vector<Dispute>& disputes_of(const Snapshot& snapshot) {
  return snapshot.job ? snapshot.job->disputes : snapshot.layer->disputes;
}

SpokenDispute spoken_dispute(const Snapshot& snapshot, const Dispute& dispute) {
  const auto name_of = [&](const Id& id) {
    const MarkPtr mark = snapshot.layer->marks.find(id);
    return mark ? spoken_name(*mark) : std::string("a mark that is gone");
  };
  if (dispute.member == same_part_member) {
    const auto place = [&](const Id& id) {
      const MarkPtr mark = snapshot.layer->marks.find(id);
      if (!mark) return std::string("gone");
      return spoken_name(*mark) + " at " + spoken_value(Json::array({mark->at.x_mm, mark->at.y_mm}).dump()) + " mm";
    };
    return {name_of(dispute.mark) + " was marked by two people", place(id_in(dispute.one)), place(id_in(dispute.other))};
  }
  const std::string subject = dispute.mark.empty() ? (snapshot.job ? "the job" : "the board") : name_of(dispute.mark);
  std::string member = dispute.member.empty() ? "as a whole" : dispute.member.substr(1);
  if (member.ends_with("_mm")) member.resize(member.size() - 3);
  if (member == "at") member = "place";
  if (member == "refdes") member = "designator";
  return {subject + ": " + member, spoken_value(dispute.one), spoken_value(dispute.other)};
}

Result<std::vector<Edit>> settling_edits(const Snapshot& now, const Id& id, Choice choice) {
  const std::vector<Dispute>& disputes = disputes_of(now);
  const auto found = std::find_if(disputes.begin(), disputes.end(), [&](const Dispute& d) { return d.id == id; });
  if (found == disputes.end()) return Problem{"", "dispute", "one that is open", "none of id " + id.text, Outcome::finding};
  const Dispute& dispute = *found;
  const bool same_part = dispute.member == same_part_member;
  if (choice == Choice::both && !same_part) return Problem{"", "choice", "one or other", "both"};
  const std::string& text = choice == Choice::one ? dispute.one : dispute.other;

  std::vector<Edit> edits;
  Layer layer = *now.layer;
  std::optional<Job> job = now.job ? std::optional<Job>(*now.job) : std::nullopt;
  if (same_part) {
    if (choice != Choice::both) {
      const std::string& left = choice == Choice::one ? dispute.other : dispute.one;
      Result<std::vector<Edit>> joined = joining_edits(now, id_in(text), id_in(left));
      if (!joined) return joined;
      edits = *std::move(joined);
    }
  } else if (!dispute.mark.empty()) {
    Result<std::vector<Edit>> changed = mark_edits(now, dispute, text);
    if (!changed) return changed;
    edits = *std::move(changed);
  } else if (job) {
    Json json = Json::parse(write_job(JobDocument{*job, {}, {}, {}}));
    if (!storage::put_member(json, dispute.member, text)) return gone("the place it is about");
    Result<JobDocument> read = read_job(json.dump(), "settled job");
    if (!read) return read.problem();
    job = std::move(read->job);
  } else {
    layer.marks = MarkTable{};
    Json json = Json::parse(write_layer(layer));
    if (!storage::put_member(json, dispute.member, text)) return gone("the place it is about");
    Result<Layer> read = read_layer(json.dump(), "settled layer");
    if (!read) return read.problem();
    layer = *std::move(read);
  }
  if (job) {
    drop(job->disputes, id);
    edits.push_back(ChangeJob{*std::move(job), "settle"});
  } else {
    drop(layer.disputes, id);
    layer.marks = MarkTable{};
    edits.push_back(ChangeLayer{std::move(layer), "settle"});
  }
  return edits;
}

}  // namespace boardlore
