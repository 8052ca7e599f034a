// The folder that lies open, kept off the frame: one thread owns it, the window sees values.
//
// A journal flush, a save and a merge wait for a disk, and on a shop's share that can be a second. So the
// window never touches the Folder: it hands over edits in order and draws the last state that was
// published, one frame later. What went wrong comes back as words to show.
#pragma once

#include <condition_variable>
#include <deque>
#include <filesystem>
#include <functional>
#include <mutex>
#include <thread>

#include "domain/shop.h"
#include "storage/folder.h"
#include "storage/presence.h"

namespace boardlore {

struct DeskPhoto {
  Photo photo;
  std::filesystem::path path;
  bool reference = false;  // the board's, not the job's
  bool made = false;       // worked out of photos (made_pictures.h); in no document
};

// What lies on the desk; never changed once published.
struct DeskView {
  std::uint64_t version = 0;  // rises with every change
  bool open = false;
  std::filesystem::path dir, board_dir;
  Snapshot snapshot;          // layer is never null where open
  std::vector<DeskPhoto> photos;
  std::shared_ptr<const Shop> shop = std::make_shared<const Shop>();  // its own packages and step lists; never null
  bool unsaved = false;
  std::string undo_name, redo_name;
  std::vector<Present> others;  // who else has the folder open
  bool kept_here = false;       // the folder is away: edits are kept on this machine until it is back

  bool is_job() const { return snapshot.job != nullptr; }
  const DeskPhoto* find_photo(const Id& id) const;
};
using DeskViewPtr = std::shared_ptr<const DeskView>;

struct DeskMessage {
  std::string text;
  bool trouble = false;
};

class Desk {
 public:
  explicit Desk(Session session);
  Desk(const Desk&) = delete;
  Desk& operator=(const Desk&) = delete;
  ~Desk();  // finishes what was handed over, saves, closes

  DeskViewPtr view() const;
  bool busy() const;
  std::string doing() const;  // name of what is under way; empty: nothing
  std::vector<DeskMessage> take_messages();

  void open(std::filesystem::path dir);
  void create_board(std::filesystem::path dir, Board board);
  void create_job(std::filesystem::path dir, std::filesystem::path board_dir, Job job);
  void close();
  void commit(std::string name, std::vector<Edit> edits);
  void undo();
  void redo();
  void save();
  // What others saved comes in, and who they are; every second or two. Not counted as busy, and not handed over
  // while the last look is still waiting for its disk.
  void look_around();
  // Anything else that needs the folder; `what` is said while it runs. A message that comes back is shown.
  using Work = std::function<Result<std::string>(Folder&)>;
  void run(std::string what, Work work);
  // Until nothing is under way. For tests and the end of the program.
  void wait_idle() const;

 private:
  using Step = std::function<void()>;
  struct Waiting {
    std::string what;
    Step step;
    bool aside = false;  // a look around: nobody waits for it
  };
  void hand_over(std::string what, Step step, bool aside = false);
  void work_until_stopped(const std::stop_token& stop);
  void publish();
  void say(std::string text, bool trouble);
  void laid_open(Result<Folder> folder);
  void look_at_shop();
  void say_new_remarks();
  bool look();

  Session session_;
  // The worker's alone.
  std::optional<Folder> folder_;
  std::shared_ptr<const Shop> shop_ = std::make_shared<const Shop>();
  std::unique_ptr<Presence> presence_;
  std::vector<Present> others_;
  std::size_t remarks_said_ = 0;
  std::string save_trouble_;  // said once, however often the save is tried again
  bool nothing_new_ = false;  // the step changed nothing that is seen
  mutable std::mutex mutex_;
  mutable std::condition_variable_any changed_;
  std::deque<Waiting> steps_;
  std::string doing_;
  bool at_work_ = false, aside_ = false;
  DeskViewPtr view_;
  std::vector<DeskMessage> messages_;
  std::jthread worker_;
};

}  // namespace boardlore
