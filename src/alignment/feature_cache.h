// Features of reference photos, kept so that each is searched once.
//
// Derived, never the only copy: one file a photo, named after the photo's hash, so that a changed photo
// misses it and nothing has to be invalidated. A file that is cut short, of another version or otherwise not
// right is passed over and written anew. A folder that cannot be written only costs time.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "alignment/features.h"

namespace boardlore {

std::optional<FeatureSet> cached_features(const std::filesystem::path& folder, const std::string& sha256,
                                          int searched_px);
void cache_features(const std::filesystem::path& folder, const std::string& sha256, int searched_px,
                    const FeatureSet& set);

}  // namespace boardlore
