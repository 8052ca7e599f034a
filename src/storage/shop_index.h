// The shop index: every board and job of the shop, found by any word in the time of a keystroke.
//
// A SQLite database with full-text search (FTS5), derived from the files and never the only copy of
// anything. So it can be careless about loss and careful about trust: a damaged index is thrown away and
// built again from the folders it knew; a file that changed (size or time) is read again; two processes
// share it through SQLite's own locks (write-ahead log).
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>

#include "domain/job.h"
#include "domain/problem.h"
#include "judging/fault_ranking.h"

namespace boardlore {

struct IndexReport {
  std::size_t files = 0;      // documents found under the folders
  std::size_t read = 0;       // new or changed, read now
  std::size_t dropped = 0;    // in the index, gone from disk
  std::vector<Problem> refused;  // at most 100, the rest counted
  std::size_t refused_count = 0;
  bool rebuilt = false;       // the index was damaged or of another version and started from nothing
};

enum class HitKind { board, job, mark };

struct FindQuery {
  std::string words;               // all must be there, each as the start of a word
  std::string board;               // words of maker, model or revision
  std::string refdes;              // a designator, whole
  std::optional<Timestamp> since;  // jobs opened then or later; boards and marks are left out
  std::size_t most = 50;
};

struct Hit {
  HitKind kind = HitKind::job;
  std::string dir;       // folder of the job or board
  std::string id;        // of the job, the layer or the mark
  std::string layer;     // id of the board
  std::string board;     // "maker model revision"
  std::string refdes;    // mark: its designator
  std::string title;     // job: what was reported; mark: its words
  std::string excerpt;   // where the words stand, where they are not in the title
  std::string symptom, outcome;
  std::optional<Timestamp> opened_at;
};

// done, all; false stops after the present batch, which is kept.
using IndexProgress = std::function<bool(std::size_t done, std::size_t all)>;

class ShopIndex {
 public:
  // Creates the file and its folder where they are not there; starts from nothing where it is damaged.
  static Result<ShopIndex> open(const std::filesystem::path& file);
  // $BOARDLORE_INDEX, else boardlore/shop.sqlite under $XDG_CACHE_HOME or ~/.cache.
  static std::filesystem::path usual_place();

  ShopIndex(ShopIndex&&) noexcept;
  ShopIndex& operator=(ShopIndex&&) noexcept;
  ~ShopIndex();

  // Brings the index up to date with everything under the folders (job.json, layer.json), and remembers them.
  Result<IndexReport> update(const std::vector<std::filesystem::path>& folders, const IndexProgress& progress = {});
  // The same for the folders of earlier updates.
  Result<IndexReport> refresh(const IndexProgress& progress = {});
  // One folder that was just saved.
  Result<Done> note_saved(const std::filesystem::path& dir);

  // Best first (bm25, then newest); of very many jobs or marks that match, the latest 500 of each (or `most`) are ranked.
  // A query without words lists the newest. Damaged meanwhile: rebuilt, asked again.
  Result<std::vector<Hit>> find(const FindQuery& query);
  // The shop's jobs on one board.
  Result<std::vector<PastJob>> past_jobs(const Id& layer);
  // Symptoms in use on a board (all boards: empty id), most frequent first.
  Result<std::vector<std::string>> symptoms(const Id& layer);
  std::vector<std::filesystem::path> folders() const;
  bool was_rebuilt() const { return rebuilt_; }

 private:
  struct Database;
  explicit ShopIndex(std::filesystem::path file);
  Result<Done> start();
  Result<Done> start_over();
  template <class T, class Work>
  Result<T> mended(Work work);

  std::filesystem::path file_;
  std::unique_ptr<Database> database_;
  bool rebuilt_ = false;
};

// What `Folder` calls once a document lies on disk: takes it into the index at the usual place, where there is one
// and the folder lies under one that it knows. Says nothing of failure: the index is derived, and the next refresh
// sees that the file changed.
void note_in_shop_index(const std::filesystem::path& dir);

}  // namespace boardlore
