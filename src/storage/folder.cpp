#include "storage/folder.h"

#include <sys/stat.h>

#include <algorithm>
#include <cctype>

#include "storage/documents.h"
#include "storage/file_bytes.h"
#include "storage/folder_lock.h"
#include "storage/history.h"
#include "storage/journal.h"
#include "storage/merge.h"
#include "storage/shop_index.h"

namespace boardlore {
namespace {

namespace fs = std::filesystem;

const char* const layer_name = "layer.json";
const char* const job_name = "job.json";

std::string file_in(const fs::path& dir, bool job) { return (dir / (job ? job_name : layer_name)).string(); }

struct Loaded {
  Snapshot snapshot;
  std::shared_ptr<const Layer> board;
  fs::path board_dir;
  std::string sha256;
  std::vector<std::string> remarks;
};

// The board's folder by the link: relative to the job, else none.
fs::path find_board(const fs::path& dir, const BoardLink& link) {
  if (link.folder.empty()) return {};
  const fs::path named(link.folder);
  const fs::path candidate = (named.is_absolute() ? named : dir / named).lexically_normal();
  std::error_code ignored;
  return fs::exists(candidate / layer_name, ignored) ? candidate : fs::path{};
}

Result<std::shared_ptr<const Layer>> load_layer(const fs::path& file, std::string* sha256 = nullptr) {
  Result<std::string> text = read_file(file);
  if (!text) return text.problem();
  Result<Layer> layer = read_layer(*text, file.string());
  if (!layer) return layer.problem();
  if (sha256 != nullptr) *sha256 = sha256_hex(*text);
  return std::make_shared<const Layer>(*std::move(layer));
}

Result<Loaded> load(const fs::path& dir) {
  std::error_code ignored;
  Loaded loaded;
  if (!fs::exists(dir / job_name, ignored)) {
    if (!fs::exists(dir / layer_name, ignored))
      return Problem{dir.string(), "", "a folder with layer.json (a board) or job.json (a job)",
                     fs::exists(dir, ignored) ? "neither" : "no such folder"};
    Result<std::shared_ptr<const Layer>> layer = load_layer(dir / layer_name, &loaded.sha256);
    if (!layer) return layer.problem();
    loaded.snapshot.layer = *layer;
    loaded.board_dir = dir;
    return loaded;
  }
  const fs::path file = dir / job_name;
  Result<std::string> text = read_file(file);
  if (!text) return text.problem();
  Result<JobDocument> document = read_job(*text, file.string());
  if (!document) return document.problem();
  loaded.sha256 = sha256_hex(*text);
  loaded.board_dir = find_board(dir, document->job.board);
  if (loaded.board_dir.empty()) {
    // The job opens all the same: with its own marks, on a board known by name only.
    Layer bare;
    bare.id = document->job.board.layer;
    bare.board = Board{document->job.board.maker, document->job.board.model, document->job.board.revision, {}, {}, {}, {}};
    loaded.board = std::make_shared<const Layer>(std::move(bare));
    loaded.remarks.push_back("board " + document->job.board.model + " not found at \"" + document->job.board.folder +
                             "\": only the marks kept in the job are shown");
  } else {
    Result<std::shared_ptr<const Layer>> layer = load_layer(loaded.board_dir / layer_name);
    if (!layer) return layer.problem();
    if ((*layer)->id != document->job.board.layer)
      loaded.remarks.push_back("the folder " + document->job.board.folder + " now holds another board's layer");
    loaded.board = *layer;
  }
  loaded.snapshot.layer = std::make_shared<const Layer>(layer_of_job(*loaded.board, *document));
  loaded.snapshot.job = std::make_shared<const Job>(std::move(document->job));
  return loaded;
}

// Which file it is, how long, and when it was written.
std::string stamp_of(const fs::path& file) {
  struct stat about {};
  if (::stat(file.c_str(), &about) != 0) return "away";
  return std::to_string(about.st_ino) + "." + std::to_string(about.st_size) + "." + std::to_string(about.st_mtim.tv_sec) + "." +
         std::to_string(about.st_mtim.tv_nsec);
}

std::string board_stamp(const fs::path& dir, const fs::path& board_dir, bool job) {
  return job && !board_dir.empty() && board_dir != dir ? stamp_of(board_dir / layer_name) : std::string("none");
}

bool reachable(const fs::path& file) {
  std::error_code error;
  const bool there = fs::exists(file, error);
  return there || error == std::errc::permission_denied;
}

std::string upper(std::string_view text) {
  std::string raised(text);
  for (char& c : raised) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return raised;
}

}  // namespace

Folder::Folder(fs::path dir, fs::path board_dir, Snapshot opened, Session session)
    : dir_(std::move(dir)), board_dir_(std::move(board_dir)), session_(std::move(session)), document_(opened), saved_(opened) {}
Folder::Folder(Folder&&) noexcept = default;
Folder& Folder::operator=(Folder&&) noexcept = default;
Folder::~Folder() = default;

Result<Folder> Folder::open(const fs::path& dir, Session session) {
  Result<Loaded> loaded = load(dir);
  if (!loaded) return loaded.problem();
  Folder folder(dir, loaded->board_dir, loaded->snapshot, std::move(session));
  folder.board_ = loaded->board;
  folder.saved_sha256_ = loaded->sha256;
  folder.remarks_ = loaded->remarks;
  const fs::path file = file_in(dir, loaded->snapshot.job != nullptr);
  folder.journal_ = std::make_unique<Journal>(file, loaded->sha256);
  const std::vector<Recovered> recovered = replay_journals(file, loaded->snapshot, loaded->sha256);
  std::size_t edits = 0, lost = 0, disputes = 0;
  for (const Recovered& one : recovered) edits += one.edits, lost += one.lost, disputes += one.disputes;
  if (edits > 0) {
    const Snapshot& restored = recovered.back().snapshot;
    folder.document_ = Document(restored);
    // Into our own journal first; only then may the old one go.
    if (Result<Done> kept = folder.journal_->append(loaded->snapshot, restored, "recovered"); !kept) return kept.problem();
    folder.remarks_.push_back(std::to_string(edits) + (edits == 1 ? " edit" : " edits") + " recovered from an unfinished session" +
                              (disputes == 0 ? std::string{} : ", " + std::to_string(disputes) + " disputes to settle"));
  }
  if (lost > 0) folder.remarks_.push_back("the end of a journal was torn; what was accepted before it is here");
  finish_recovery(recovered);
  return folder;
}

Result<Folder> Folder::create_board(const fs::path& dir, Board board, Session session) {
  std::error_code error;
  if (fs::exists(dir / layer_name, error) || fs::exists(dir / job_name, error))
    return Problem{dir.string(), "", "a new or empty folder", "a board or job is there already"};
  fs::create_directories(dir, error);
  if (error) return system_problem(dir, "a folder that can be made", error.value());
  Layer layer;
  layer.id = session.new_id();
  layer.board = std::move(board);
  if (layer.board.model.empty()) return Problem{dir.string(), "model", "a board's model", "nothing"};
  if (Result<Done> written = write_file_atomically(dir / layer_name, write_layer(layer)); !written) return written.problem();
  note_in_shop_index(dir);
  return open(dir, std::move(session));
}

Result<Folder> Folder::create_job(const fs::path& dir, const fs::path& board_dir, Job job, Session session) {
  std::error_code error;
  if (fs::exists(dir / layer_name, error) || fs::exists(dir / job_name, error))
    return Problem{dir.string(), "", "a new or empty folder", "a board or job is there already"};
  Result<std::shared_ptr<const Layer>> board = load_layer(board_dir / layer_name);
  if (!board) return board.problem();
  fs::create_directories(dir / "photos", error);
  if (error) return system_problem(dir, "a folder that can be made", error.value());
  if (job.id.empty()) job.id = session.new_id();
  job.opened_at = session.now();
  if (job.technician.empty()) job.technician = session.technician;
  const fs::path relative = fs::relative(fs::absolute(board_dir), fs::absolute(dir), error);
  job.board = BoardLink{(*board)->id, error || relative.empty() ? fs::absolute(board_dir).string() : relative.generic_string(),
                        (*board)->board.maker, (*board)->board.model, (*board)->board.revision};
  if (Result<Done> written = write_file_atomically(dir / job_name, write_job(JobDocument{std::move(job), {}, {}, {}})); !written)
    return written.problem();
  note_in_shop_index(dir);
  return open(dir, std::move(session));
}

Result<Done> Folder::journalled(const Snapshot& before, std::string_view name) {
  if (local_journal_) return local_journal_->append(before, document_.now(), name);
  Result<Done> kept = journal_->append(before, document_.now(), name);
  if (kept) return kept;
  const fs::path file = file_in(dir_, is_job());
  const fs::path local = local_journal_folder(file);
  if (local.empty() || reachable(file)) return kept;  // a full or broken disk is no reason to keep edits elsewhere
  auto away = std::make_unique<Journal>(*journal_, local);
  if (!away->append(saved_, document_.now(), name)) return kept;
  local_journal_ = std::move(away);
  remarks_.push_back("the folder cannot be reached: edits are kept on this machine until it is back");
  return Done{};
}

Result<Done> Folder::commit(const Edit& edit) { return commit(edit_name(now(), edit), {edit}); }

Result<Done> Folder::commit(std::string name, const std::vector<Edit>& edits) {
  const Snapshot before = now();
  if (Result<Done> done = document_.commit(name, edits); !done) return done;
  Result<Done> kept = journalled(before, name);
  if (!kept) document_.drop_last();  // not on disk: not accepted
  return kept;
}

Result<Done> Folder::restore(int version) {
  const fs::path file = file_in(dir_, is_job());
  if (is_job() && now().job->hand_back)
    return Problem{dir_.string(), "", "a job that is open (boardlore reopen)", "it was handed back", Outcome::finding};
  Result<std::string> text = version_text(file, version);
  if (!text) return text.problem();
  const std::string its_name = file.string() + ", version " + std::to_string(version);
  const Snapshot before = now();
  Snapshot earlier = before;
  if (is_job()) {
    Result<JobDocument> document = read_job(*text, its_name);
    if (!document) return document.problem();
    earlier.layer = std::make_shared<const Layer>(layer_of_job(*board_, *document));
    earlier.job = std::make_shared<const Job>(std::move(document->job));
  } else {
    Result<Layer> layer = read_layer(*text, its_name);
    if (!layer) return layer.problem();
    earlier.layer = std::make_shared<const Layer>(*std::move(layer));
  }
  const std::string name = "restore version " + std::to_string(version);
  document_.put(name, std::move(earlier));
  Result<Done> kept = journalled(before, name);
  if (!kept) document_.drop_last();
  return kept;
}

Result<Done> Folder::undo() {
  const Snapshot before = now();
  if (!document_.undo()) return Done{};
  Result<Done> kept = catch_up();
  if (kept) kept = journalled(before, "undo");
  if (!kept) document_.redo();
  return kept;
}

Result<Done> Folder::redo() {
  const Snapshot before = now();
  if (!document_.redo()) return Done{};
  Result<Done> kept = catch_up();
  if (kept) kept = journalled(before, "redo");
  if (!kept) document_.undo();
  return kept;
}

bool Folder::unsaved() const { return saved_.layer != now().layer || saved_.job != now().job; }

void Folder::drop_journals() {
  journal_->restart(saved_sha256_);
  if (local_journal_) local_journal_->restart(saved_sha256_);
  local_journal_.reset();
}

// The present holds what others saved; the states before and behind it do not yet.
void Folder::take_in(Snapshot theirs, Snapshot merged) {
  foreign_.push_back({saved_, theirs});
  document_.replace_present(std::move(merged), foreign_.size());
  saved_ = std::move(theirs);
}

// Undo takes back our step, never what others did meanwhile.
Result<Done> Folder::catch_up() {
  while (document_.age() < foreign_.size()) {
    const Foreign& change = foreign_[document_.age()];
    Result<Merged> merged = merge_snapshots(change.before, now(), change.after);
    if (!merged) return merged.problem();
    document_.replace_present(std::move(merged->snapshot), document_.age() + 1);
  }
  return Done{};
}

Result<bool> Folder::take_in_saved() {
  if (unsaved()) return false;
  const std::string document = stamp_of(file_in(dir_, is_job())), board = board_stamp(dir_, board_dir_, is_job());
  if (document == seen_document_ && board == seen_board_) return false;
  Result<Loaded> theirs = load(dir_);
  if (!theirs) return theirs.problem();
  if ((theirs->snapshot.job != nullptr) != is_job())
    return Problem{dir_.string(), "", is_job() ? "a job, as before" : "a board, as before", "the other", Outcome::system_failed};
  seen_document_ = document;
  seen_board_ = board;
  const bool same_board = !is_job() || (board_ && *board_ == *theirs->board);
  if (theirs->sha256 == saved_sha256_ && same_board) return false;
  take_in(theirs->snapshot, theirs->snapshot);
  saved_sha256_ = theirs->sha256;
  if (theirs->board) board_ = theirs->board;
  drop_journals();
  return true;
}

Result<Done> Folder::save() {
  const fs::path file = file_in(dir_, is_job());
  if (!unsaved()) {
    // Edits that undid each other left lines in the journal.
    drop_journals();
    return Done{};
  }
  // Nobody else replaces the file between our look at it and our rename.
  Result<FolderLock> lock = FolderLock::take(dir_);
  if (!lock) return lock.problem();
  // Gone altogether, it may be a share that is not mounted: written there, the edits would be hidden under it.
  Result<std::string> on_disk = read_file(file);
  if (!on_disk) return on_disk.problem();
  if (sha256_hex(*on_disk) != saved_sha256_) {
    Result<Loaded> theirs = load(dir_);
    if (!theirs) return theirs.problem();
    Result<Merged> merged = merge_snapshots(saved_, now(), theirs->snapshot);
    if (!merged) return merged.problem();
    // From here on theirs is the ancestor, also of another try where the writing below fails.
    take_in(theirs->snapshot, merged->snapshot);
    if (theirs->board) board_ = theirs->board;
    remarks_.push_back("merged with what was saved meanwhile" +
                       (merged->disputes == 0 ? std::string{} : ": " + std::to_string(merged->disputes) + " disputes to settle"));
    saved_sha256_ = theirs->sha256;
  }
  const std::string text = is_job() ? write_job(job_document(*now().job, *board_, *now().layer)) : write_layer(*now().layer);
  // An earlier version that cannot be kept is no reason to lose the present one.
  if (Result<Done> kept = keep_version(file); !kept && history_works_) {
    history_works_ = false;
    remarks_.push_back("the earlier version could not be kept: " + to_text(kept.problem()));
  }
  if (Result<Done> written = write_file_atomically(file, text); !written) {
    // Renamed, but perhaps not on the disk yet: what lies there is ours and must not be merged with as somebody
    // else's. A copy, so that it still counts as unsaved and is written again; the journal stays till then.
    if (Result<std::string> there = read_file(file); there && *there == text) {
      saved_ = now();
      saved_.layer = std::make_shared<const Layer>(*saved_.layer);
      saved_sha256_ = sha256_hex(text);
    }
    return written;
  }
  saved_ = now();
  saved_sha256_ = sha256_hex(text);
  seen_document_ = stamp_of(file);  // still under the lock
  drop_journals();
  { const FolderLock released = *std::move(lock); }  // the index is nobody else's wait
  note_in_shop_index(dir_);
  return Done{};
}

std::vector<const Photo*> Folder::photos() const {
  std::vector<const Photo*> list;
  if (now().job)
    for (const Photo& photo : now().job->photos) list.push_back(&photo);
  for (const Photo& photo : now().layer->photos) list.push_back(&photo);
  return list;
}

const Photo* Folder::find_photo(std::string_view name) const {
  for (const Photo* photo : photos()) {
    const std::string_view file = photo->file;
    if (file == name || (file.starts_with("photos/") && file.substr(7) == name)) return photo;
  }
  // A path to the file itself serves too.
  const std::string bare = fs::path(name).filename().string();
  std::error_code ignored;
  for (const Photo* photo : photos())
    if (fs::path(photo->file).filename() == bare && fs::equivalent(photo_path(*photo), fs::path(name), ignored)) return photo;
  return nullptr;
}

fs::path Folder::photo_path(const Photo& photo) const {
  if (now().job)
    for (const Photo& own : now().job->photos)
      if (own.id == photo.id) return dir_ / photo.file;
  std::error_code ignored;
  const fs::path file = board_dir_ / photo.file, aside = board_dir_ / ".uncovered" / photo.file;
  // A covering that was undone: the picture as it was still lies aside.
  return !fs::exists(file, ignored) && fs::exists(aside, ignored) ? aside : file;
}

std::vector<MarkPtr> find_marks(const Layer& layer, std::string_view refdes) {
  std::vector<MarkPtr> found;
  const std::string wanted = upper(refdes);
  layer.marks.each([&](const MarkPtr& mark) {
    if (!mark->refdes.empty() && upper(mark->refdes) == wanted) found.push_back(mark);
  });
  return found;
}

}  // namespace boardlore
