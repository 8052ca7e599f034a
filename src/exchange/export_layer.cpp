#include "exchange/export_layer.h"

#include <algorithm>

#include "exchange/private_words.h"
#include "pictures/scrub.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/merge.h"
#include "storage/shop_file.h"
#include "storage/shop_index.h"

namespace boardlore {
namespace {

namespace fs = std::filesystem;

Timestamp day_of(Timestamp time) {
  constexpr std::int64_t day_ms = 86'400'000;
  const std::int64_t days = time.ms >= 0 ? time.ms / day_ms : (time.ms - day_ms + 1) / day_ms;
  return Timestamp{days * day_ms};
}

Photo shareable_photo(Photo photo) {
  photo.stage.reset();
  photo.captured_at.reset();
  photo.captured_offset.clear();
  photo.added_at.reset();
  photo.linked.clear();
  photo.note.clear();
  photo.unknown.clear();
  return photo;
}

// What the shop's jobs on this board taught, as counts under the shop's number; the layer unchanged where there is no
// index of them. A shop that can't keep its number can't give counts either: they would come back as somebody else's.
Layer with_what_jobs_taught(Layer layer, const Folder& folder, std::string& why_not) {
  const fs::path file = ShopIndex::usual_place();
  std::error_code error;
  if (!fs::exists(file, error)) return layer;
  Result<ShopIndex> index = ShopIndex::open(file);
  if (!index) return layer;
  const Result<std::vector<PastJob>> jobs = index->past_jobs(layer.id);
  if (!jobs || jobs->empty()) return layer;
  const Result<Id> shop = shop_counts_as(shop_file_beside(folder.board_dir()), [&] { return folder.session().new_id(); });
  if (!shop) {
    why_not = to_text(shop.problem());
    return layer;
  }
  return with_fault_counts(std::move(layer), *jobs, *shop, [](const std::string& of) { return id_from_hash(sha256_hex(of)); });
}

void clean_words(Mark& mark, PrivateWords& words) {
  for (std::string* text : {&mark.text, &mark.value, &mark.advice, &mark.reason, &mark.orientation.on_part, &mark.orientation.on_board})
    *text = words.without(*text);
  for (auto* list : {&mark.accept, &mark.refuse})
    for (std::string& text : *list) text = words.without(text);
  if (mark.package) mark.package->name = words.without(mark.package->name), mark.package->source = words.without(mark.package->source);
  for (auto& [pin, net] : mark.nets) net = words.without(net);
  for (Limit& limit : mark.limits) limit.source = words.without(limit.source);
  for (Note& note : mark.notes) note.text = words.without(note.text);
}

void drop_unknown(Mark& mark) {
  mark.unknown.clear();
  if (mark.package) mark.package->unknown.clear();
  for (Limit& limit : mark.limits) limit.unknown.clear();
  for (Sample& sample : mark.samples) sample.unknown.clear();
  for (Note& note : mark.notes) note.unknown.clear();
}

void clean_registration(Registration& registration, PrivateWords& words) {
  registration.unknown.clear();
  for (Fiducial& fiducial : registration.fiducials) fiducial.unknown.clear(), fiducial.name = words.without(fiducial.name);
}

// For strangers: what a member means that this version does not know, nobody here can say.
Layer for_strangers(Layer layer, PrivateWords& words) {
  layer.unknown.clear();
  layer.board.unknown.clear();
  layer.settings.unknown.clear();
  layer.disputes.clear();
  for (std::string* text : {&layer.board.maker, &layer.board.model, &layer.board.revision}) *text = words.without(*text);
  for (std::string& symptom : layer.settings.symptoms) symptom = words.without(symptom);
  for (FaultCount& fault : layer.faults) fault.unknown.clear(), fault.symptom = words.without(fault.symptom), fault.cure = words.without(fault.cure);
  for (SymptomCount& count : layer.symptoms) count.symptom = words.without(count.symptom);
  std::vector<MarkPtr> marks;
  marks.reserve(layer.marks.size());
  layer.marks.each([&](const MarkPtr& mark) {
    Mark clean = *mark;
    drop_unknown(clean);
    clean_words(clean, words);
    marks.push_back(std::make_shared<const Mark>(std::move(clean)));
  });
  layer.marks = MarkTable(std::move(marks));
  return layer;
}

// A file's name may say as much as a note: one that holds a private word becomes the side and the start of the hash.
std::string shareable_name(const Photo& photo, const std::string& sha256, PrivateWords& words) {
  std::string spoken = photo.file;
  std::replace(spoken.begin(), spoken.end(), '_', ' ');
  if (words.without(spoken) == spoken) return photo.file;
  return std::string(side_name(photo.side)) + "-" + sha256.substr(0, 12) + (fs::path(photo.file).extension() == ".png" ? ".png" : ".jpg");
}

}  // namespace

Layer shareable_layer(const Snapshot& snapshot, bool keep_names) {
  Layer layer = *snapshot.layer;
  for (Photo& photo : layer.photos) photo = shareable_photo(std::move(photo));
  std::vector<MarkPtr> marks;
  marks.reserve(layer.marks.size());
  layer.marks.each([&](const MarkPtr& mark) {
    Mark clean = *mark;
    std::erase_if(clean.notes, [](const Note& note) { return note.internal; });
    for (Note& note : clean.notes) {
      if (!keep_names) note.by.clear();
      note.at = day_of(note.at);
    }
    for (Sample& sample : clean.samples) sample.taken_at = day_of(sample.taken_at);
    clean.changed_at = day_of(clean.changed_at);
    marks.push_back(clean == *mark ? mark : std::make_shared<const Mark>(std::move(clean)));
  });
  layer.marks = MarkTable(std::move(marks));
  return layer;
}

Result<SharedFiles> shared_files(const Folder& folder, bool keep_names) {
  PrivateWords words(folder.now(), keep_names);
  SharedFiles shared;
  Layer layer = with_what_jobs_taught(shareable_layer(folder.now(), keep_names), folder, shared.counts_left_out);
  shared.disputes_left_out = layer.disputes.size();
  layer = for_strangers(std::move(layer), words);
  std::map<std::string, std::string> new_names;
  for (Photo& photo : layer.photos) {
    const std::string old_name = photo.file;
    const fs::path source = folder.photo_path(photo);
    std::error_code ignored;
    if (fs::exists(source, ignored)) {
      Result<std::string> bytes = scrubbed_copy_bytes(source);
      if (!bytes) return bytes.problem();
      photo.sha256 = sha256_hex(*bytes);
      photo.file = shareable_name(photo, photo.sha256, words);
      shared.photos[photo.file] = *std::move(bytes);
    } else {
      photo.file = shareable_name(photo, photo.id.text, words);
    }
    new_names[old_name] = photo.file;
  }
  for (Photo& photo : layer.photos)
    if (photo.registration) {
      clean_registration(*photo.registration, words);
      // The photo it was found on: one of these, or one that stays here.
      const auto named = new_names.find(photo.registration->onto);
      photo.registration->onto = named == new_names.end() ? std::string() : named->second;
    }
  shared.layer_json = write_layer(layer);
  shared.words_left_out = words.left_out();
  return shared;
}

Result<SharedFiles> export_layer(const Folder& folder, const fs::path& out, bool keep_names) {
  Result<SharedFiles> shared = shared_files(folder, keep_names);
  if (!shared) return shared;
  const fs::path target_dir = out.has_parent_path() ? out.parent_path() : fs::path(".");
  std::error_code ignored;
  fs::create_directories(target_dir, ignored);
  for (const auto& [name, bytes] : shared->photos) {
    const fs::path target = target_dir / name;
    if (!fs::exists(fs::symlink_status(target, ignored))) {
      if (Result<Done> written = write_file_atomically(target, bytes); !written) return written.problem();
      continue;
    }
    const Result<std::string> there = read_file(target, 512ULL << 20U);
    if (!there || *there != bytes)
      return Problem{target.string(), "", "no file of that name, or the same picture", "another one, which is not overwritten"};
  }
  if (Result<Done> written = write_file_atomically(out, shared->layer_json); !written) return written.problem();
  return shared;
}

Result<std::size_t> share_with_board(Folder& job, Session session) {
  if (!job.is_job() || job.board_dir().empty())
    return Problem{job.dir().string(), "board", "a job whose board's folder is there", "none"};
  Result<Folder> board = Folder::open(job.board_dir(), std::move(session));
  if (!board) return board.problem();
  // The ancestor of both: the board as it was where the job changed it.
  const JobDocument document = job_document(*job.now().job, *board->now().layer, shareable_layer(job.now()));
  Layer base = *board->now().layer, ours = base;
  for (const Mark& mark : document.marks_before) base.marks = base.marks.with(std::make_shared<const Mark>(mark));
  for (const Mark& mark : document.marks) ours.marks = ours.marks.with(std::make_shared<const Mark>(mark));
  for (const Mark& mark : document.removed_marks) ours.marks = ours.marks.without(mark.id);
  Result<Merged> merged = merge_snapshots(Snapshot{std::make_shared<const Layer>(base), nullptr},
                                          Snapshot{std::make_shared<const Layer>(ours), nullptr}, board->now());
  if (!merged) return merged.problem();
  std::vector<Edit> edits;
  MarkTable::differences(board->now().layer->marks, merged->snapshot.layer->marks, [&](const MarkPtr& before, const MarkPtr& after) {
    if (!after) edits.push_back(RemoveMark{before->id});
    else if (!before) edits.push_back(PlaceMark{*after});
    else edits.push_back(ChangeMark{*after, ""});
  });
  if (merged->disputes > 0) edits.push_back(ChangeLayer{*merged->snapshot.layer, "disputes"});
  if (Result<Done> done = board->commit("from job", edits); !done) return done.problem();
  if (Result<Done> done = board->save(); !done) return done.problem();
  return merged->disputes;
}

}  // namespace boardlore
