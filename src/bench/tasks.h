// Slow work beside the frame: it is given values, runs on a thread of its own, and comes back as a value.
// Whoever no longer wants it lets go of the task; it is then told to stop and waited for nowhere in a frame.
#pragma once

#include <atomic>
#include <memory>
#include <mutex>
#include <optional>
#include <stop_token>
#include <thread>
#include <utility>

namespace boardlore {

// What the work sees: whether to go on, and where to say how far it is.
struct TaskReins {
  std::stop_token stop;
  std::atomic<double>* progress = nullptr;
};

// Threads still at work; run_bench waits for none to be left before the program's own end tears down what
// they use.
inline std::atomic<int> tasks_at_work = 0;

template <class T>
class Task {
 public:
  Task() = default;
  // work(const TaskReins&) -> T
  template <class Work>
  static Task start(Work work) {
    Task task;
    task.shared_ = std::make_shared<Shared>();
    // The thread keeps what it writes to alive, so a dropped task needs no waiting for.
    ++tasks_at_work;
    std::thread([shared = task.shared_, work = std::move(work)]() mutable {
      T value = work(TaskReins{shared->stop.get_token(), &shared->progress});
      {
        const std::lock_guard lock(shared->mutex);
        shared->value = std::move(value);
        shared->done = true;
      }
      shared.reset();
      --tasks_at_work;
    }).detach();
    return task;
  }
  Task(Task&&) noexcept = default;
  Task& operator=(Task&& other) noexcept {
    stop();
    shared_ = std::move(other.shared_);
    return *this;
  }
  ~Task() { stop(); }

  bool running() const { return shared_ && !shared_->done; }
  double progress() const { return shared_ ? shared_->progress.load() : 0; }
  void stop() {
    if (shared_) shared_->stop.request_stop();
  }
  // The value, once.
  std::optional<T> take() {
    if (!shared_ || !shared_->done) return std::nullopt;
    const std::shared_ptr<Shared> finished = std::exchange(shared_, nullptr);
    const std::lock_guard lock(finished->mutex);
    return std::move(finished->value);
  }

 private:
  struct Shared {
    std::mutex mutex;
    std::optional<T> value;
    std::atomic<bool> done = false;
    std::atomic<double> progress = 0;
    std::stop_source stop;
  };
  std::shared_ptr<Shared> shared_;
};

}  // namespace boardlore
