// A folder that a phone or a microscope camera saves into, watched: each new picture comes into the job once.
//
// A camera writes for seconds, renames, deletes and writes again. So a file counts as written only when two
// looks in a row find it the same size and age and its picture decodes to the end; it is known by its hash,
// so neither a second name nor a second look brings it in twice; and whatever vanishes or changes between two
// looks is simply looked at again. The folder itself is never written to.
#pragma once

#include <filesystem>
#include <functional>
#include <map>
#include <set>
#include <string>

#include "domain/job.h"
#include "domain/problem.h"

namespace boardlore {

// A picture that is whole and new; takes it in. A Problem is told once and the file left alone until it changes.
using TakeInFn = std::function<Result<Done>(const std::filesystem::path& file)>;

struct WatchReport {
  std::vector<std::filesystem::path> taken_in;
  std::vector<Problem> problems;
  std::size_t still_written = 0;  // seen, not yet the same twice
};

class PhotoWatch {
 public:
  explicit PhotoWatch(std::filesystem::path folder) : folder_(std::move(folder)) {}
  // One look; call it about once a second. A folder that is gone for a while is no fault.
  WatchReport look(const TakeInFn& take_in);

 private:
  struct Seen {
    std::uintmax_t bytes = 0;
    std::int64_t age = 0;   // of the last write, as the file system counts
    bool settled = false;   // taken in, or refused as it is
    bool operator==(const Seen&) const = default;
  };
  std::filesystem::path folder_;
  std::map<std::string, Seen> seen_;
};

// Where in the job a photo belongs by when it was taken: before the first rework action, between first and
// last, after the last. Without a time or without actions: `otherwise`.
PhotoStage stage_by_time(const Job& job, const std::optional<Timestamp>& taken_at, PhotoStage otherwise);

}  // namespace boardlore
