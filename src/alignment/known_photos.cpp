#include "alignment/known_photos.h"

#include <algorithm>

#include "pictures/photo_file.h"

namespace boardlore {

std::vector<RegisteredPhoto> known_photos(const std::vector<const Photo*>& photos,
                                          const std::function<std::filesystem::path(const Photo&)>& path_of,
                                          const Photo& except) {
  std::vector<const Photo*> usable;
  for (const Photo* photo : photos)
    if (photo != nullptr && photo->registration && photo->id != except.id && photo->file != except.file &&
        photo->registration->onto != except.file)
      usable.push_back(photo);
  std::stable_sort(usable.begin(), usable.end(), [](const Photo* a, const Photo* b) {
    return a->registration->method == MapMethod::by_hand && b->registration->method != MapMethod::by_hand;
  });
  std::vector<RegisteredPhoto> known;
  for (const Photo* photo : usable)
    known.push_back({photo->file, photo->sha256, photo->side, *photo->registration,
                     [path = path_of(*photo)] { return decode_full(path); }});
  return known;
}

std::filesystem::path feature_cache_folder(const std::filesystem::path& board_dir) {
  if (board_dir.empty()) return {};
  return std::filesystem::absolute(board_dir).lexically_normal().parent_path() / ".boardlore-cache";
}

}  // namespace boardlore
