#include "exchange/export_layer.h"

#include "pictures/scrub.h"
#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/merge.h"
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

// What the shop's jobs on this board taught, as counts; the layer unchanged where there is no index of them.
Layer with_what_jobs_taught(Layer layer, const Session& session) {
  const fs::path file = ShopIndex::usual_place();
  std::error_code error;
  if (!fs::exists(file, error)) return layer;
  Result<ShopIndex> index = ShopIndex::open(file);
  if (!index) return layer;
  const Result<std::vector<PastJob>> jobs = index->past_jobs(layer.id);
  if (!jobs || jobs->empty()) return layer;
  return with_fault_counts(std::move(layer), *jobs, [&] { return session.new_id(); });
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

Result<Done> export_layer(const Folder& folder, const fs::path& out, bool keep_names) {
  const Layer layer = with_what_jobs_taught(shareable_layer(folder.now(), keep_names), folder.session());
  const fs::path target_dir = out.has_parent_path() ? out.parent_path() : fs::path(".");
  std::error_code failed_to_make;
  fs::create_directories(target_dir, failed_to_make);
  std::error_code ignored;
  for (const Photo& photo : layer.photos) {
    const fs::path source = folder.board_dir() / photo.file, target = target_dir / photo.file;
    if (fs::exists(target, ignored) || !fs::exists(source, ignored)) continue;
    Result<std::string> bytes = scrubbed_copy_bytes(source);
    if (!bytes) return bytes.problem();
    if (Result<Done> written = write_file_atomically(target, *bytes); !written) return written;
  }
  return write_file_atomically(out, write_layer(layer));
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
