#include "storage/merge.h"

#include <algorithm>
#include <cctype>
#include <map>

#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/json_merge.h"

namespace boardlore {
namespace {

using storage::Clash;
using storage::Json;
using storage::merge_values;

Json json_of(const Layer& head) { return Json::parse(write_layer(head)); }
Json json_of(const JobDocument& job) { return Json::parse(write_job(job)); }
Json json_of(const MarkPtr& mark) { return mark ? Json::parse(write_mark(*mark)) : Json{}; }

// The id follows from what is disputed, so that both sides make the same one.
Dispute dispute_of(const Id& mark, const Clash& clash) {
  const std::string hash = sha256_hex(mark.text + "\n" + clash.member + "\n" + clash.one + "\n" + clash.other);
  return Dispute{Id{hash.substr(0, 8) + "-" + hash.substr(8, 4) + "-8" + hash.substr(13, 3) + "-8" + hash.substr(17, 3) + "-" +
                    hash.substr(20, 12)},
                 mark, clash.member, clash.one, clash.other, {}};
}

bool holds(const std::vector<Dispute>& disputes, const Id& id) {
  return std::any_of(disputes.begin(), disputes.end(), [&](const Dispute& d) { return d.id == id; });
}

// Adds those that are not there yet to the document's list, which stays sorted by id.
void keep(std::vector<Dispute>& disputes, const std::vector<Dispute>& added) {
  for (const Dispute& dispute : added)
    if (!holds(disputes, dispute.id)) disputes.push_back(dispute);
  std::sort(disputes.begin(), disputes.end(), [](const Dispute& a, const Dispute& b) { return a.id < b.id; });
}

MarkPtr merge_mark(const MarkPtr& base, const MarkPtr& ours, const MarkPtr& theirs, const Id& id, std::vector<Dispute>& disputes) {
  const auto same = [](const MarkPtr& a, const MarkPtr& b) { return a == b || (a && b && *a == *b); };
  if (same(ours, base) || same(ours, theirs)) return theirs;
  if (same(theirs, base)) return ours;
  const Json our_json = json_of(ours), their_json = json_of(theirs);
  std::vector<Clash> clashes;
  const Json value = merge_values(json_of(base), our_json, their_json, "", clashes);
  Result<Mark> mark = read_mark(value.dump(), "merged mark");
  if (!mark) {
    // Each side is sound, the two together are not: one of them whole until somebody chooses.
    clashes.clear();
    std::string one = our_json.dump(), other = their_json.dump();
    const bool ours_first = one < other;
    if (!ours_first) std::swap(one, other);
    disputes.push_back(dispute_of(id, Clash{"", one, other}));
    return ours_first ? ours : theirs;
  }
  for (const Clash& clash : clashes) disputes.push_back(dispute_of(id, clash));
  return std::make_shared<const Mark>(*std::move(mark));
}

std::string raised(std::string_view text) {
  std::string upper(text);
  for (char& c : upper) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return upper;
}

// Marks that each side made without the other: the same designator, or the same place, side and kind.
void find_same_parts(const std::vector<MarkPtr>& ours, const std::vector<MarkPtr>& theirs, std::vector<Dispute>& disputes) {
  const auto offer = [&](const MarkPtr& a, const MarkPtr& b) {
    const Id &one = std::min(a->id, b->id), &other = std::max(a->id, b->id);
    const Dispute dispute = dispute_of(one, Clash{std::string(same_part_member), '"' + one.text + '"', '"' + other.text + '"'});
    if (!holds(disputes, dispute.id)) disputes.push_back(dispute);
  };
  std::multimap<std::string, MarkPtr> by_designator;
  std::multimap<double, MarkPtr> by_x;
  for (const MarkPtr& mark : ours) {
    if (!mark->refdes.empty()) by_designator.emplace(raised(mark->refdes), mark);
    if (mark->kind != MarkKind::note) by_x.emplace(mark->at.x_mm, mark);
  }
  for (const MarkPtr& mark : theirs) {
    const auto [first, last] = by_designator.equal_range(raised(mark->refdes));
    for (auto there = first; there != last; ++there)
      if (there->second->kind == mark->kind) offer(there->second, mark);
    const auto end = by_x.upper_bound(mark->at.x_mm + same_place_mm);
    for (auto there = by_x.lower_bound(mark->at.x_mm - same_place_mm); there != end; ++there) {
      const Mark& near = *there->second;
      const bool named_apart = !near.refdes.empty() && !mark->refdes.empty() && raised(near.refdes) != raised(mark->refdes);
      if (near.kind == mark->kind && near.side == mark->side && near.reason == mark->reason && !named_apart &&
          distance_mm(near.at, mark->at) <= same_place_mm)
        offer(there->second, mark);
    }
  }
}

Layer head_of(const Layer& layer) {
  Layer head;
  head.id = layer.id;
  head.version_minor = layer.version_minor;
  head.board = layer.board;
  head.settings = layer.settings;
  head.photos = layer.photos;
  head.faults = layer.faults;
  head.symptoms = layer.symptoms;
  head.disputes = layer.disputes;
  head.unknown = layer.unknown;
  return head;
}

Result<Layer> merge_heads(const Layer& base, const Layer& ours, const Layer& theirs, std::vector<Dispute>& disputes) {
  Layer base_head = head_of(base), our_head = head_of(ours), their_head = head_of(theirs);
  if (our_head == base_head || our_head == their_head) return their_head;
  if (their_head == base_head) return our_head;
  std::vector<Clash> clashes;
  const Json value = merge_values(base.id.empty() ? Json{} : json_of(base_head), json_of(our_head), json_of(their_head), "", clashes);
  for (const Clash& clash : clashes) disputes.push_back(dispute_of(Id{}, clash));
  return read_layer(value.dump(), "merged layer");
}

}  // namespace

Result<MergedLayer> merge_layers(const Layer& base, const Layer& ours, const Layer& theirs) {
  if (ours.id != theirs.id)
    return Problem{"", "/id", "two versions of one board's layer", "layers " + ours.id.text + " and " + theirs.id.text};
  MergedLayer merged;
  Result<Layer> head = merge_heads(base, ours, theirs, merged.disputes);
  if (!head) return head.problem();
  merged.layer = *std::move(head);

  MarkTable marks = ours.marks;
  std::vector<MarkPtr> only_theirs, only_ours;
  MarkTable::differences(base.marks, theirs.marks, [&](const MarkPtr& before, const MarkPtr& their_mark) {
    if (before && their_mark && *before == *their_mark) return;
    const Id id = before ? before->id : their_mark->id;
    const MarkPtr our_mark = ours.marks.find(id);
    const MarkPtr mark = merge_mark(before, our_mark, their_mark, id, merged.disputes);
    if (!before && !our_mark) only_theirs.push_back(their_mark);
    if (mark == our_mark) return;
    marks = mark ? marks.with(mark) : marks.without(id);
  });
  if (!only_theirs.empty()) {
    MarkTable::differences(base.marks, ours.marks, [&](const MarkPtr& before, const MarkPtr& mark) {
      if (!before && !theirs.marks.find(mark->id)) only_ours.push_back(mark);
    });
    find_same_parts(only_ours, only_theirs, merged.disputes);
  }
  merged.layer.marks = std::move(marks);
  std::erase_if(merged.disputes, [&](const Dispute& d) { return holds(merged.layer.disputes, d.id); });
  keep(merged.layer.disputes, merged.disputes);
  return merged;
}

Result<Merged> merge_snapshots(const Snapshot& base, const Snapshot& ours, const Snapshot& theirs) {
  Merged merged;
  Result<MergedLayer> layer = merge_layers(*base.layer, *ours.layer, *theirs.layer);
  if (!layer) return layer.problem();
  merged.disputes = layer->disputes.size();
  if (!base.job || !ours.job || !theirs.job) {
    merged.snapshot.layer = std::make_shared<const Layer>(std::move(layer->layer));
    return merged;
  }
  std::vector<Clash> clashes;
  const auto json = [](const Job& job) { return json_of(JobDocument{job, {}, {}, {}}); };
  const Json value = merge_values(json(*base.job), json(*ours.job), json(*theirs.job), "", clashes);
  Result<JobDocument> job = read_job(value.dump(), "merged job");
  if (!job) return job.problem();
  // A job's file holds no layer: disputes over its marks are kept with its own.
  std::vector<Dispute> added = layer->disputes;
  std::erase_if(layer->layer.disputes, [&](const Dispute& d) { return holds(added, d.id); });
  for (const Clash& clash : clashes) added.push_back(dispute_of(Id{}, clash));
  std::erase_if(added, [&](const Dispute& d) { return holds(job->job.disputes, d.id); });
  merged.disputes = added.size();
  keep(job->job.disputes, added);
  merged.snapshot.layer = std::make_shared<const Layer>(std::move(layer->layer));
  merged.snapshot.job = std::make_shared<const Job>(std::move(job->job));
  return merged;
}

namespace {

bool is_job_text(const VersionFile& version) {
  // Both writers put the format first; a file that says neither is refused by its reader.
  return version.text.substr(0, 200).find("\"boardlore-job\"") != std::string::npos;
}

Result<MergedText> merge_job_texts(const VersionFile& base, const VersionFile& ours, const VersionFile& theirs) {
  Result<JobDocument> our_job = read_job(ours.text, ours.file), their_job = read_job(theirs.text, theirs.file);
  if (!our_job) return our_job.problem();
  if (!their_job) return their_job.problem();
  Json before;
  if (!base.text.empty()) {
    Result<JobDocument> base_job = read_job(base.text, base.file);
    if (!base_job) return base_job.problem();
    before = json_of(*base_job);
  }
  if (our_job->job.id != their_job->job.id)
    return Problem{theirs.file, "/id", "two versions of one job", "jobs " + our_job->job.id.text + " and " + their_job->job.id.text};
  std::vector<Clash> clashes;
  const Json value = merge_values(before, json_of(*our_job), json_of(*their_job), "", clashes);
  Result<JobDocument> job = read_job(value.dump(), "merged job");
  if (!job) return job.problem();
  MergedText merged;
  for (const Clash& clash : clashes) merged.disputes.push_back(dispute_of(Id{}, clash));
  std::erase_if(merged.disputes, [&](const Dispute& d) { return holds(job->job.disputes, d.id); });
  keep(job->job.disputes, merged.disputes);
  merged.text = write_job(*job);
  return merged;
}

}  // namespace

Result<MergedText> merge_texts(const VersionFile& base, const VersionFile& ours, const VersionFile& theirs) {
  if (is_job_text(ours)) return merge_job_texts(base, ours, theirs);
  Result<Layer> our_layer = read_layer(ours.text, ours.file), their_layer = read_layer(theirs.text, theirs.file);
  if (!our_layer) return our_layer.problem();
  if (!their_layer) return their_layer.problem();
  Layer before;
  if (!base.text.empty()) {
    Result<Layer> read = read_layer(base.text, base.file);
    if (!read) return read.problem();
    before = *std::move(read);
  }
  Result<MergedLayer> merged = merge_layers(before, *our_layer, *their_layer);
  if (!merged) return merged.problem();
  return MergedText{write_layer(merged->layer), std::move(merged->disputes)};
}

}  // namespace boardlore
