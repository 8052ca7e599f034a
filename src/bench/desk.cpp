#include "bench/desk.h"

#include <algorithm>
#include <chrono>
#include <exception>

#include "judging/photo_order.h"
#include "storage/shop_file.h"

namespace boardlore {

namespace {

// File times are compared with it: the true one, whatever the run's clock says.
Timestamp true_now() {
  return Timestamp{std::chrono::duration_cast<std::chrono::milliseconds>(std::chrono::system_clock::now().time_since_epoch()).count()};
}

bool same_people(const std::vector<Present>& a, const std::vector<Present>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const Present& x, const Present& y) { return x.who == y.who && x.since.ms == y.since.ms; });
}

}  // namespace

const DeskPhoto* DeskView::find_photo(const Id& id) const {
  for (const DeskPhoto& entry : photos)
    if (entry.photo.id == id) return &entry;
  return nullptr;
}

Desk::Desk(Session session)
    : session_(std::move(session)),
      view_(std::make_shared<DeskView>()),
      worker_([this](const std::stop_token& stop) { work_until_stopped(stop); }) {}

Desk::~Desk() {
  save();
  wait_idle();
  worker_.request_stop();
  changed_.notify_all();
}

void Desk::work_until_stopped(const std::stop_token& stop) {
  for (;;) {
    Step step;
    {
      std::unique_lock lock(mutex_);
      if (!changed_.wait(lock, stop, [this] { return !steps_.empty(); })) return;
      aside_ = steps_.front().aside;
      doing_ = aside_ ? std::string() : std::move(steps_.front().what);
      step = std::move(steps_.front().step);
      steps_.pop_front();
      at_work_ = true;
      nothing_new_ = false;
    }
    // Memory or a thread may run out on any step; the desk stays usable and says so.
    try {
      step();
    } catch (const std::exception& error) {
      say(std::string("could not ") + doing_ + ": " + error.what(), true);
    }
    if (!nothing_new_) publish();
    {
      const std::lock_guard lock(mutex_);
      at_work_ = aside_ = false;
      doing_.clear();
    }
    changed_.notify_all();
  }
}

void Desk::publish() {
  auto next = std::make_shared<DeskView>();
  if (folder_) {
    next->open = true;
    next->dir = folder_->dir();
    next->board_dir = folder_->board_dir();
    next->snapshot = folder_->now();
    next->unsaved = folder_->unsaved();
    next->shop = shop_;
    next->undo_name = folder_->document().undo_name();
    next->redo_name = folder_->document().redo_name();
    next->others = others_;
    next->kept_here = folder_->kept_on_this_machine();
    // The job's in the order they were taken, whatever order they came in; then the board's.
    std::vector<const Photo*> photos = folder_->photos();
    const auto of_the_job = static_cast<std::ptrdiff_t>(next->snapshot.job ? next->snapshot.job->photos.size() : 0);
    std::stable_sort(photos.begin(), photos.begin() + of_the_job, [](const Photo* a, const Photo* b) { return taken_before(*a, *b); });
    for (const Photo* photo : photos) {
      bool of_job = false;
      if (next->snapshot.job)
        for (const Photo& own : next->snapshot.job->photos) of_job = of_job || &own == photo;
      next->photos.push_back({*photo, folder_->photo_path(*photo), !of_job});
    }
  }
  const std::lock_guard lock(mutex_);
  next->version = view_->version + 1;
  view_ = std::move(next);
}

void Desk::say(std::string text, bool trouble) {
  const std::lock_guard lock(mutex_);
  messages_.push_back({std::move(text), trouble});
}

void Desk::hand_over(std::string what, Step step, bool aside) {
  {
    const std::lock_guard lock(mutex_);
    if (aside && (aside_ || std::any_of(steps_.begin(), steps_.end(), [](const Waiting& w) { return w.aside; }))) return;
    steps_.push_back({std::move(what), std::move(step), aside});
  }
  changed_.notify_all();
}

DeskViewPtr Desk::view() const {
  const std::lock_guard lock(mutex_);
  return view_;
}

bool Desk::busy() const {
  const std::lock_guard lock(mutex_);
  return (at_work_ && !aside_) || std::any_of(steps_.begin(), steps_.end(), [](const Waiting& w) { return !w.aside; });
}

std::string Desk::doing() const {
  const std::lock_guard lock(mutex_);
  return doing_;
}

std::vector<DeskMessage> Desk::take_messages() {
  const std::lock_guard lock(mutex_);
  return std::exchange(messages_, {});
}

void Desk::wait_idle() const {
  std::unique_lock lock(mutex_);
  changed_.wait(lock, [this] { return !at_work_ && steps_.empty(); });
}

void Desk::laid_open(Result<Folder> folder) {
  if (!folder) return say(to_text(folder.problem()), true);
  // What lay here is saved before it makes room.
  if (folder_ && folder_->unsaved())
    if (const auto saved = folder_->save(); !saved) say(to_text(saved.problem()), true);
  presence_.reset();
  folder_ = std::move(*folder);
  look_at_shop();
  presence_ = std::make_unique<Presence>(folder_->dir(), session_.technician, true_now());
  others_ = others_present(folder_->dir(), true_now(), presence_.get());
  remarks_said_ = 0;
  save_trouble_.clear();
  say_new_remarks();
  if (!others_.empty()) say(spoken_presence(others_) + ": what they save comes in by itself.", false);
}

void Desk::say_new_remarks() {
  for (; remarks_said_ < folder_->remarks().size(); ++remarks_said_) say(folder_->remarks()[remarks_said_], false);
}

// Whether anything that is seen changed.
bool Desk::look() {
  if (!folder_) return false;
  presence_->touch();
  std::vector<Present> others = others_present(folder_->dir(), true_now(), presence_.get());
  const bool people = !same_people(others, others_);
  others_ = std::move(others);
  // A folder that is away just now is told by the save that needs it.
  const Result<bool> came_in = folder_->take_in_saved();
  if (came_in && *came_in) say("Others' changes came in.", false);
  return people || (came_in && *came_in);
}

void Desk::look_around() {
  hand_over("look around", [this] { nothing_new_ = !look(); }, true);
}

void Desk::look_at_shop() {
  Result<Shop> shop = load_shop(shop_file_beside(folder_->board_dir()));
  if (!shop) say(to_text(shop.problem()), true);
  shop_ = std::make_shared<const Shop>(shop ? std::move(*shop) : Shop{});
}

void Desk::open(std::filesystem::path dir) {
  hand_over("open", [this, dir = std::move(dir)] { laid_open(Folder::open(dir, session_)); });
}

void Desk::create_board(std::filesystem::path dir, Board board) {
  hand_over("make the board", [this, dir = std::move(dir), board = std::move(board)] {
    laid_open(Folder::create_board(dir, board, session_));
  });
}

void Desk::create_job(std::filesystem::path dir, std::filesystem::path board_dir, Job job) {
  hand_over("make the job", [this, dir = std::move(dir), board_dir = std::move(board_dir), job = std::move(job)] {
    laid_open(Folder::create_job(dir, board_dir, job, session_));
  });
}

void Desk::close() {
  hand_over("close", [this] {
    if (folder_ && folder_->unsaved())
      if (const auto saved = folder_->save(); !saved) return say(to_text(saved.problem()), true);
    presence_.reset();
    others_.clear();
    folder_.reset();
  });
}

void Desk::commit(std::string name, std::vector<Edit> edits) {
  if (edits.empty()) return;
  hand_over(name, [this, name, edits = std::move(edits)] {
    if (!folder_) return;
    const auto done =
        edits.size() == 1 && name.empty() ? folder_->commit(edits.front()) : folder_->commit(name, edits);
    say_new_remarks();
    if (!done) say(to_text(done.problem()), true);
  });
}

void Desk::undo() {
  hand_over("undo", [this] {
    if (!folder_) return;
    if (const auto done = folder_->undo(); !done) say(to_text(done.problem()), true);
  });
}

void Desk::redo() {
  hand_over("redo", [this] {
    if (!folder_) return;
    if (const auto done = folder_->redo(); !done) say(to_text(done.problem()), true);
  });
}

void Desk::save() {
  hand_over("save", [this] {
    if (!folder_ || !folder_->unsaved()) return;
    const auto done = folder_->save();
    say_new_remarks();
    // Tried again until it works; said once.
    const std::string trouble = done ? std::string() : to_text(done.problem());
    if (!done && trouble != save_trouble_) say(trouble, true);
    if (done && !save_trouble_.empty()) say("Saved: the folder can be written again.", false);
    save_trouble_ = trouble;
  });
}

void Desk::run(std::string what, Work work) {
  hand_over(what, [this, work = std::move(work)] {
    if (!folder_) return;
    const auto done = work(*folder_);
    if (!done)
      say(to_text(done.problem()), true);
    else if (!done->empty())
      say(*done, false);
    look_at_shop();  // the work may have been on it
  });
}

}  // namespace boardlore
