// The photos of an open folder that a new photo can be registered onto; for the window and the command alike.
#pragma once

#include "alignment/auto_registration.h"
#include "domain/photo.h"

namespace boardlore {

// Those with a registration, except the photo itself and what was itself only found on it. Those laid by hand come
// first. Their pixels are decoded when asked for; `path_of` says where a photo's file lies.
std::vector<RegisteredPhoto> known_photos(const std::vector<const Photo*>& photos,
                                          const std::function<std::filesystem::path(const Photo&)>& path_of,
                                          const Photo& except);

// Where features of a library's photos are kept: a dot folder beside its boards.
std::filesystem::path feature_cache_folder(const std::filesystem::path& board_dir);

}  // namespace boardlore
