// The edit journal: what makes every accepted edit survive a killed process.
//
// Beside an open document lies one journal a process, `.job.json.<time>-<process>.journal`. Each accepted edit is one
// line: a CRC-32 of the rest, a space, a JSON object with what differs between the snapshot before and
// after, each changed thing as it was and as it is. The line is flushed before the edit counts
// as accepted. Where the document was saved after the journal began (by its owner just before it died, or
// by somebody else), the lines are laid over it, taken back again for the common ancestor, and merged. The owner holds an advisory lock on the file; the kernel drops it with the process, so a
// journal that can be locked is one whose owner died, and is replayed by whoever opens the folder next.
#pragma once

#include <filesystem>
#include <memory>

#include "editing/document.h"

namespace boardlore {

class Journal {
 public:
  // Nothing is written until the first edit. `based_on`: SHA-256 of the document file it starts from.
  Journal(std::filesystem::path document_file, std::string based_on);
  // The journal that takes over from `beside`, whose folder is away: of the same name, in `local_folder`. Its
  // first entry must hold everything that is not saved yet, as replaying then passes over the one beside.
  Journal(const Journal& beside, const std::filesystem::path& local_folder);
  ~Journal();
  Journal(const Journal&) = delete;
  Journal& operator=(const Journal&) = delete;

  // On failure nothing was accepted: the line is cut off again.
  Result<Done> append(const Snapshot& before, const Snapshot& after, std::string_view name);
  // After a save: the edits are in the document. Removes the file and starts anew from `based_on`.
  void restart(std::string based_on);

 private:
  Result<Done> start();

  std::filesystem::path document_file_, path_;
  bool local_ = false;
  std::string based_on_;
  int file_ = -1;
  long long length_ = 0;
  bool torn_ = false;  // half a line behind `length_` that could not be cut off yet
};

// Where edits of this document are kept while its folder is away: below $XDG_STATE_HOME (~/.local/state).
// Empty: this user has no such place.
std::filesystem::path local_journal_folder(const std::filesystem::path& document_file);

// A journal whose owner died.
struct Recovered {
  std::filesystem::path path;
  Snapshot snapshot;     // the given one with the journal's edits
  std::size_t edits = 0;
  std::size_t lost = 0;  // lines behind a torn or damaged one: never accepted, or spoilt on disk
  std::size_t disputes = 0;  // with what was saved after the journal began
};
// Replays every orphaned journal of `document_file` on top of `snapshot`, oldest first. The files stay:
// the caller removes them once the result is safe (finish_recovery).
std::vector<Recovered> replay_journals(const std::filesystem::path& document_file, const Snapshot& snapshot,
                                       const std::string& sha256);
void finish_recovery(const std::vector<Recovered>& recovered);

// The line without its checksum, and back; exposed for tests and fuzzing.
std::string journal_entry(const Snapshot& before, const Snapshot& after, std::string_view name, std::string_view based_on);
Result<Snapshot> apply_journal_entry(const Snapshot& before, std::string_view entry);
// All of them in order, or all taken back from the last to the first. Putting a change in twice is the same as once.
enum class JournalWay { forward, backward };
Result<Snapshot> apply_journal_entries(const Snapshot& start, const std::vector<std::string_view>& entries, JournalWay way);

}  // namespace boardlore
