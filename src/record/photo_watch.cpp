#include "record/photo_watch.h"

#include <algorithm>
#include <cctype>

#include "judging/judge.h"

namespace boardlore {
namespace {

namespace fs = std::filesystem;

bool has_picture_ending(const fs::path& file) {
  std::string ending = file.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return ending == ".jpg" || ending == ".jpeg" || ending == ".png" || ending == ".heic" || ending == ".heif" || ending == ".bmp" ||
         ending == ".tif" || ending == ".tiff";
}

}  // namespace

WatchReport PhotoWatch::look(const TakeInFn& take_in) {
  WatchReport report;
  std::error_code error;
  std::map<std::string, Seen> now;
  for (fs::directory_iterator it(folder_, error), end; !error && it != end; it.increment(error)) {
    const fs::path file = it->path();
    const std::string name = file.filename().string();
    if (name.empty() || name[0] == '.' || !has_picture_ending(file)) continue;
    std::error_code gone;
    // A link could lead anywhere; cameras make files.
    if (!fs::is_regular_file(fs::symlink_status(file, gone)) || gone) continue;
    Seen seen;
    seen.bytes = fs::file_size(file, gone);
    if (gone) continue;
    seen.age = fs::last_write_time(file, gone).time_since_epoch().count();
    if (gone) continue;
    const auto before = seen_.find(name);
    const bool same = before != seen_.end() && before->second.bytes == seen.bytes && before->second.age == seen.age;
    seen.settled = same && before->second.settled;
    if (!seen.settled && same && seen.bytes > 0) {
      if (const Result<Done> taken = take_in(file))
        report.taken_in.push_back(file);
      else
        report.problems.push_back(taken.problem());
      seen.settled = true;
    } else if (!seen.settled) {
      ++report.still_written;
    }
    now[name] = seen;
  }
  if (!error) seen_ = std::move(now);  // a folder that cannot be read now is not an empty one
  return report;
}

PhotoStage stage_by_time(const Job& job, const std::optional<Timestamp>& taken_at, PhotoStage otherwise) {
  std::optional<Timestamp> first, last;
  for (const Action& action : job.actions) {
    if (!is_rework(action.what)) continue;
    first = first ? std::min(*first, action.at) : action.at;
    last = last ? std::max(*last, action.at) : action.at;
  }
  if (!taken_at || !first) return otherwise;
  if (*taken_at < *first) return PhotoStage::before;
  return *taken_at > *last ? PhotoStage::after : PhotoStage::during;
}

}  // namespace boardlore
