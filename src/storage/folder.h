// A board folder or a job folder that is open: its document, its journal, and the way back to disk.
//
// Every accepted edit is appended to a journal beside the file and flushed before `commit` returns, so a
// killed process loses none; opening replays what was not yet saved. `save` writes the document in one
// rename and then drops the journal. What somebody else saved meanwhile is merged, never overwritten. Of two
// that save in the same moment one waits: comparing and renaming happen under a lock on the folder, which the
// kernel drops with the process. Where the folder vanishes (a network share), edits are accepted into a
// journal on this machine, and a later save or opening brings them home.
#pragma once

#include <filesystem>
#include <memory>

#include "editing/document.h"
#include "storage/session.h"

namespace boardlore {

class Journal;

class Folder {
 public:
  // DIR holds layer.json (a board) or job.json (a job); the job's board is found by its link.
  static Result<Folder> open(const std::filesystem::path& dir, Session session);
  // Refused where the folder already holds a document.
  static Result<Folder> create_board(const std::filesystem::path& dir, Board board, Session session);
  static Result<Folder> create_job(const std::filesystem::path& dir, const std::filesystem::path& board_dir, Job job,
                                   Session session);
  Folder(Folder&&) noexcept;
  Folder& operator=(Folder&&) noexcept;
  ~Folder();

  const std::filesystem::path& dir() const { return dir_; }
  bool is_job() const { return now().job != nullptr; }
  // The board's folder: `dir` itself for a board; for a job where its board was found, empty if nowhere.
  const std::filesystem::path& board_dir() const { return board_dir_; }
  const Snapshot& now() const { return document_.now(); }
  const Document& document() const { return document_; }
  const Session& session() const { return session_; }
  // Things worth saying once after opening: "3 edits recovered from the journal", "board not found at ...".
  const std::vector<std::string>& remarks() const { return remarks_; }

  Result<Done> commit(const Edit& edit);
  Result<Done> commit(std::string name, const std::vector<Edit>& edits);
  Result<Done> undo();  // journalled too; done without effect where there is nothing to undo
  Result<Done> redo();
  // An earlier version of the file (storage/history.h) becomes the present: one step, to undo like any other.
  Result<Done> restore(int version);
  bool unsaved() const;
  Result<Done> save();
  // What others saved since we last looked becomes the present, and is no step of ours to undo; whether anything
  // did. Costs a look at the file's time where nothing did. With edits of our own waiting nothing is taken in: the
  // save that follows merges.
  Result<bool> take_in_saved();
  // The folder cannot be reached and accepted edits are kept on this machine; `save` brings them home.
  bool kept_on_this_machine() const { return local_journal_ != nullptr; }

  // All photos that can be shown: the job's first, then the layer's reference photos. Pointers into now().
  std::vector<const Photo*> photos() const;
  // By file name (with or without "photos/"), job's first; nullptr: none.
  const Photo* find_photo(std::string_view name) const;
  // Where the photo's file lies.
  std::filesystem::path photo_path(const Photo& photo) const;

 private:
  Folder(std::filesystem::path dir, std::filesystem::path board_dir, Snapshot opened, Session session);
  Result<Done> journalled(const Snapshot& before, std::string_view name);
  void drop_journals();
  void take_in(Snapshot theirs, Snapshot merged);
  Result<Done> catch_up();

  std::filesystem::path dir_, board_dir_;
  Session session_;
  Document document_;
  Snapshot saved_;                      // what lies on disk
  std::shared_ptr<const Layer> board_;  // a job's board as it lies in its own folder
  std::string saved_sha256_;
  std::string seen_document_, seen_board_;  // stamps of the files when they were last read; empty: not known
  struct Foreign {                      // what others changed: what we knew before, what lay on disk then
    Snapshot before, after;
  };
  std::vector<Foreign> foreign_;        // states that undo comes back to are brought up to it
  std::unique_ptr<Journal> journal_;
  std::unique_ptr<Journal> local_journal_;  // while the folder is away
  bool history_works_ = true;
  std::vector<std::string> remarks_;
};

// Marks of a snapshot by designator (case-insensitive), in id order; empty: none.
std::vector<MarkPtr> find_marks(const Layer& layer, std::string_view refdes);

}  // namespace boardlore
