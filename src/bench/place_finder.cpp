#include "bench/place_finder.h"

#include <algorithm>

#include "alignment/known_photos.h"
#include "pictures/photo_file.h"

namespace boardlore {
namespace {

std::vector<RegisteredPhoto> known_on(const DeskView& desk, const Photo& photo) {
  std::vector<const Photo*> photos;
  for (const DeskPhoto& entry : desk.photos)
    if (!entry.made) photos.push_back(&entry.photo);
  return known_photos(
      photos,
      [&](const Photo& known) {
        const DeskPhoto* entry = desk.find_photo(known.id);
        return entry ? entry->path : std::filesystem::path();
      },
      photo);
}

}  // namespace

bool PlaceFinder::look_for(const DeskView& desk, const Id& photo) {
  const DeskPhoto* entry = desk.find_photo(photo);
  if (!entry || known_on(desk, entry->photo).empty()) return false;
  if (under_way_ != photo && std::find(waiting_.begin(), waiting_.end(), photo) == waiting_.end()) waiting_.push_back(photo);
  found_.erase(photo);
  return true;
}

void PlaceFinder::stop() {
  task_.stop();
  for (const Id& photo : waiting_) refused_.push_back({photo, {RefusalReason::stopped, kStopped, 0, 0}});
  waiting_.clear();
}

void PlaceFinder::forget() {
  task_ = {};
  under_way_ = Id{};
  waiting_.clear();
  found_.clear();
  refused_.clear();
}

bool PlaceFinder::begin_frame(const DeskView& desk) {
  bool news = false;
  if (auto outcome = task_.take()) {
    if (desk.find_photo(under_way_)) {
      if (auto* report = std::get_if<AutoReport>(&*outcome)) found_[under_way_] = std::move(*report);
      else refused_.push_back({under_way_, std::get<AutoRefusal>(*outcome)});
    }
    under_way_ = Id{};
    news = true;
  }
  while (under_way_.empty() && !waiting_.empty()) {
    const Id photo = waiting_.front();
    waiting_.pop_front();
    const DeskPhoto* entry = desk.find_photo(photo);
    if (!entry) continue;
    under_way_ = photo;
    AutoRequest request;
    request.onto = known_on(desk, entry->photo);
    if (desk.snapshot.layer) {
      request.board_width_mm = desk.snapshot.layer->board.width_mm;
      request.board_height_mm = desk.snapshot.layer->board.height_mm;
    }
    request.feature_cache = feature_cache_folder(desk.board_dir);
    task_ = Task<AutoOutcome>::start([path = entry->path, request](const TaskReins& reins) mutable -> AutoOutcome {
      const Result<Raster> picture = decode_full(
          path, [&](double done) { *reins.progress = 0.1 * done; }, reins.stop);
      if (!picture) {
        const bool stopped = picture.problem().found == kStopped;
        return AutoRefusal{stopped ? RefusalReason::stopped : RefusalReason::not_readable, to_text(picture.problem()), 0, 0};
      }
      request.photo = &*picture;
      return register_automatically(request, reins.stop, [&](double done) { *reins.progress = 0.1 + 0.9 * done; });
    });
    news = true;
  }
  return news;
}

const AutoReport* PlaceFinder::found(const Id& photo) const {
  const auto it = found_.find(photo);
  return it == found_.end() ? nullptr : &it->second;
}

}  // namespace boardlore
